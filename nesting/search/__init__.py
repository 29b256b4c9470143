"""What is searched, for how long, and where: every cloth's lays, slice by slice."""
