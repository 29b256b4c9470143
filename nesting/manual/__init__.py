"""Layouts moved by hand, and the search around what is pinned."""
