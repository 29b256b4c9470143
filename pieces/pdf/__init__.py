"""Pieces from the lines of a PDF: pages, sheets stuck together, sizes, and what is written."""
