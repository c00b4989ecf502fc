"""The panels around the maps, one subject a file."""
