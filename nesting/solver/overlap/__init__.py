"""How badly shapes overlap, and driving the overlap out, compiled."""
