"""Wiring, recipes, pieces made of what is on hand, and the makings that go into them."""
