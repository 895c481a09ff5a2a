"""Numbers on their own, with no farm: climate, drying curves, counts and chances, vase life, wire, wreaths."""
