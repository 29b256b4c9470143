"""Which pieces come from which bolt, end or remnant."""
