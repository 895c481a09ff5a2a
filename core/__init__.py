"""The reckoning and the record keeping of shedbook; knows nothing of any screen."""

__version__ = "0.1.0"
