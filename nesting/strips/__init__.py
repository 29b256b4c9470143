"""Strips: ways to cut long rectangles from a cloth's width."""
