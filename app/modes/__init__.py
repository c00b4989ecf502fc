"""Mouse modes: frozen values that answer a press, a move or a key. No Qt here."""
