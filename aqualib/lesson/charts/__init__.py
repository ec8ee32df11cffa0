"""The pictures: one style, one way to redraw fast, and the drawings of each lesson."""
