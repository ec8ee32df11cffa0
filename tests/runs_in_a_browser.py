"""Which packages can run in a browser: those in Pyodide's own distribution, and pure Python ones.

A page has no compiler, so a package that is neither keeps the whole library out of it.
"""

# The distribution of Pyodide 314.0.7 (Python 3.14.2): pyodide-lock.json in the npm package
# pyodide@314.0.7, read in November 2026. Only what our wheel needs, and what that needs in turn.
PYODIDE = {
    "asttokens": "3.0.1",
    "contourpy": "1.3.3",
    "cycler": "0.12.1",
    "decorator": "5.2.1",
    "executing": "2.2.1",
    "fonttools": "4.62.1",
    "ipython": "9.12.0",
    "jedi": "0.19.2",
    "kiwisolver": "1.5.0",
    "matplotlib": "3.10.8",
    "matplotlib-inline": "0.2.1",
    "numpy": "2.4.6",
    "packaging": "26.1",
    "pandas": "3.0.2",
    "parso": "0.8.6",
    "pillow": "12.2.0",
    "platformdirs": "4.9.4",
    "prompt-toolkit": "3.0.52",
    "pure-eval": "0.2.3",
    "pygments": "2.20.0",
    "pyparsing": "3.3.2",
    "python-dateutil": "2.9.0.post0",
    "pytz": "2026.1.post1",
    "scipy": "1.18.0",
    "six": "1.17.0",
    "stack-data": "0.6.3",
    "traitlets": "5.14.3",
    "typing-extensions": "4.15.0",
    "tzdata": "2025.3",
    "wcwidth": "0.6.0",
}

# Wheels for any machine (py3-none-any) on PyPI, with the version seen there; read in November 2026.
PURE = {
    "anywidget": "0.11.0",
    "autograd": "1.9.1",
    "comm": "0.2.3",
    "flexcache": "0.3",
    "flexparser": "0.4",
    "fluids": "1.3.1",
    "ipython-pygments-lexers": "1.1.1",
    "ipywidgets": "8.1.9",
    "jupyterlab-widgets": "3.0.17",
    "pint": "0.25.3",
    "psygnal": "0.16.1",
    "pyco2sys": "1.8.3.4",
    "widgetsnbextension": "4.0.16",
}
PURE_BESIDE_COMPILED = {"psygnal"}
"""PyPI has a wheel for any machine; where there is a compiled one, an installer prefers that."""
