"""Feet, inches, pounds, gallons and miles beside meters, grams, liters and kilometers.

All of them are exact by definition (NIST Special Publication 811, 2008 edition, appendix B.8).
"""

from __future__ import annotations

METERS_A_FOOT = 0.3048
INCHES_A_FOOT = 12
CM_AN_INCH = 2.54
MM_AN_INCH = 25.4
KM_A_MILE = 1.609344
GRAMS_A_POUND = 453.59237
GRAMS_AN_OUNCE = GRAMS_A_POUND / 16
LITERS_A_GALLON = 3.785411784
"""Of the United States: 231 cubic inches."""

FEET, METERS = "feet", "meters"
LENGTHS = {
    **dict.fromkeys(("feet", "foot", "ft"), FEET),
    **dict.fromkeys(("meters", "metres", "meter", "metre", "m", "metric"), METERS),
}
"""As it is typed -> the lengths a farm may have."""
