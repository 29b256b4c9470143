"""Pieces from drawing files: DXF by the open interchange standard, plain DXF, SVG."""
