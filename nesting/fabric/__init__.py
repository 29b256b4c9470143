"""Cloth: how it can lie, what is bought and left of it, and what a plan of it holds."""
