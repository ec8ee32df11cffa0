"""The lessons as a web site of plain files: Python runs in the reader's own page."""
