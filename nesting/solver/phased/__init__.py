"""Items tied to the phases of a repeat."""
