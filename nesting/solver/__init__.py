"""The packing solver: numbers in, numbers out."""
