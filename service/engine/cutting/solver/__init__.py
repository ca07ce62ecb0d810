"""Makes cutting plans: `search.solve` is the way in."""
