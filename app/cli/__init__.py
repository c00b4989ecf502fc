"""The command line, one command a module. No Qt here."""
