"""Cloth: how it lies, what is cut from it, and the shortest length to buy."""
