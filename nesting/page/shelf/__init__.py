"""The shelf: orders that the page keeps on disk, with their plans."""
