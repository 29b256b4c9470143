"""A folder of orders, each planned once."""
