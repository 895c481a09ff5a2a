"""The record: entries in append-only logs, their snapshot, and what keeps them whole."""
