"""The book of bolts and remnants in hand."""
