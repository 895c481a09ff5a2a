"""The pieces a view is made of."""
