"""Zones of a view, of a ladder, of a site."""
