"""Collars, bands, bindings, bows and pockets."""
