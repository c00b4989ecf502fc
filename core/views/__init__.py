"""What is looked at: plans, elevations, and the column of a body in them."""
