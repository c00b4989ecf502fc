"""One reading: as data, as text, with its cautions, doubts and signs."""
