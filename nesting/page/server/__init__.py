"""The server of the page, for this computer alone."""
