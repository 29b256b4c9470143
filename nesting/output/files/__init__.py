"""Layouts as files for other programs: JSON, DXF."""
