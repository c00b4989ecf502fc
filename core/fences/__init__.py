"""Fences: fitted to zones, drawn by hand, checked."""
