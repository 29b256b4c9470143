"""Sleeves, and the bands that finish them."""
