"""Beds and what stands in them: set out or drilled, pinched, netted, covered, cleared."""
