"""What is searched next, for how long, and on which process."""
