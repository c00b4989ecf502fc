"""An upper bound of each antenna kind's fields over a small patch."""
