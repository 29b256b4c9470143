"""The cloths of an order, and what is in hand of them."""
