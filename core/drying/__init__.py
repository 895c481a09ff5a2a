"""When what hangs is dry: weighings, curves, the lot's own clock, the shelf."""
