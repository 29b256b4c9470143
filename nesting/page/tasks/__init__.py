"""What the page asks for, done in a process apart from its server."""
