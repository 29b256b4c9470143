"""An order that is planned at once."""

SMALL = """name = "napkins"
units = "cm"
[fabric.linen]
width = 50
price = 10
currency = "EUR"
sold_by = "10 cm"
[[piece]]
name = "napkin"
fabric = "linen"
outline = [[0, 0], [40, 0], [40, 20], [12, 24], [0, 20]]
cut = 4
"""
