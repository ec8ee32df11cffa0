"""The panels, a module for each lesson."""
