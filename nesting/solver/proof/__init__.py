"""Lower bounds on a length, and instances that are settled exactly."""
