"""Tools to draw with: the page, the words, the axes and the look of things."""
