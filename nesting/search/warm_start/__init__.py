"""Layouts carried over from one problem to another that allows them."""
