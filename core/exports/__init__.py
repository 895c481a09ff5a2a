"""What leaves the book for other programs."""
