"""What the farm told the book about itself: its place, its frost dates, its own figures; and its notes."""
