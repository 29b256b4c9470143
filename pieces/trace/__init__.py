"""Pieces from photographs of paper on a table, with a printed sheet beside them."""
