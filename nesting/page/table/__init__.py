"""The cutting table: a plan step by step, and as one file for a phone."""
