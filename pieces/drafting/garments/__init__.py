"""Whole garments, and what is worn over or with them: one draft a module, found as others are."""
