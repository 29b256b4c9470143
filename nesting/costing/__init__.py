"""What a garment costs and what to ask for it."""
