"""What is bought besides cloth: from what drafts propose and the order asks to purchases."""
