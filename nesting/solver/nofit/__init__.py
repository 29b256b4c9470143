"""No-fit polygons: where two shapes may lie beside each other."""
