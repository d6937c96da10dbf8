"""From a bare checkout to a running shop or a passed test suite.

What runs before the virtual environment exists (`environment`, `debian`) uses the standard library only.
"""
