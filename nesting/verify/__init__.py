"""The judge of every marker, which shares no code with what it judges."""
