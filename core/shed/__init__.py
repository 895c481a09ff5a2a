"""The shed as a place: its air, its lines, what suffers first."""
