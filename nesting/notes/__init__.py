"""Sewing notes: how each garment of a plan goes together, in words."""
