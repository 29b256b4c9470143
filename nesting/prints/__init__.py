"""Prints and naps of pieces that meet: repeats, phases and where they fall."""
