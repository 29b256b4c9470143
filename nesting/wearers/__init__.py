"""The book of wearers: whose measures these were, and when."""
