"""Boxes of dry stock: where they stand, the looks into them for moth and damp, and what is done about either."""
