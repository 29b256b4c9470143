"""Packing shapes on a strip: numbers alone, nothing of cloth."""
