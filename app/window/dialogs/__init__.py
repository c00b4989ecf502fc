"""Dialogs, one subject a file."""
