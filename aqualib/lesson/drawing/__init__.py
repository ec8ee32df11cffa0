"""To draw with: the picture, words, axes and the look of things, and sections that are to scale."""
