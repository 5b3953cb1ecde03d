"""Customary units in metric ones, exactly: international yard and pound agreement of 1959."""

__all__ = ["G_PER_OUNCE", "MM_PER_INCH", "M_PER_YARD"]

MM_PER_INCH = 25.4
M_PER_YARD = 0.9144
G_PER_OUNCE = 28.349523125
