"""The cut: stems of one crop from one bed at one time become a lot in the bucket."""
