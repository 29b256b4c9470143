"""Writers: the plan as data, drawings and words."""
