"""Everything that reads or writes files."""
