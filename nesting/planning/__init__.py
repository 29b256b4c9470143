"""Whole orders: one plan, or the plans of several lays and widths compared."""
