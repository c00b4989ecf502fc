"""The search that proves a region: bounds, cells, lattice, tolerance."""
