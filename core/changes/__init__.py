"""Two states of a site compared: what changed, and what that does to people."""
