"""Questions about an order that ask for several plans."""
