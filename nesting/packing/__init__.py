"""Cloth problems as the solver's numbers: lays, sections, folds and flaws."""
