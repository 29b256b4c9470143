"""What a plan says in words, and what studies of an order say."""
