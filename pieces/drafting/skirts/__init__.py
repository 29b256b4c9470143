"""What hangs from the waist: skirts, tiers, layers and peplums."""
