"""Measurements of the packing solver against published sets; not part of the program."""
