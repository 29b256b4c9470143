"""Pieces that are given instead of drafted: by points, from files, from sheets."""
