"""Shapes: what a piece is, how it is drafted and checked. Knows nothing of cloth."""
