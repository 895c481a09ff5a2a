"""The language of one-line entries: how a line is cut into words, days, amounts and names, and completed."""
