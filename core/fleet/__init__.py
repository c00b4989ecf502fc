"""Many sites: the same questions put to every site of a folder."""
