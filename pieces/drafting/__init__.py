"""Drafts: from a wearer's measurements to pieces."""
