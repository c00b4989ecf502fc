"""The window, the command line and the drawings."""

__version__ = "0.1.0"
