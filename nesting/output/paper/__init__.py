"""Pieces on sheets of paper, true to size."""
