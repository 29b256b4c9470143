"""Linear programmes that bring shapes into contact."""
