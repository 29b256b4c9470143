"""Layouts and pieces drawn as pictures."""
