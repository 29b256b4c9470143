"""Lengths as people write them, and as millimetres."""

from __future__ import annotations

from enum import StrEnum


class Unit(StrEnum):
    """The units in which an order may give bare numbers, and those that text may name."""

    MM = "mm"
    CM = "cm"
    IN = "in"
    M = "m"
    YD = "yd"
