"""The tank: its volume, its load, and the filter as part of it."""
