"""The antenna table of a site, out to a spreadsheet and in again."""
