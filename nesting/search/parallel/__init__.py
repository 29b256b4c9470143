"""Where searches run side by side: processes here, or the workers of a cluster."""
