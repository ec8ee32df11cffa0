"""The lessons brought to their readers: own copies in JupyterLab, pages without code."""
