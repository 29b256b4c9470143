"""The order that ships with the package."""
