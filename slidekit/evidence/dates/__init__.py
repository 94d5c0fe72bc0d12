"""Dates and spans of time on both sides of 1 BCE: read, counted and said."""
