"""Shapes for the table of the cutter's rules, in millimetres, in their laid form."""

from __future__ import annotations

from pieces.piece import Outline

LOPSIDED: Outline = ((0, 0), (90, 0), (60, 40), (0, 30))
"""Unlike its mirror image, whichever way it is turned."""
SPEARHEAD: Outline = ((0, 0), (70, 20), (100, 30), (70, 40), (0, 60))
"""Its own mirror image as it lies: the same on both sides of its grain."""
BUTTERFLY: Outline = ((0, 0), (100, 0), (80, 50), (20, 50))
"""Its own mirror image after half a turn: the same at both ends."""
STRIP: Outline = ((0, 0), (200, 0), (200, 20), (0, 20))
"""Its own mirror image as it lies and after half a turn."""
HALF_FRONT: Outline = ((0, 0), (100, 0), (80, 50), (10, 40))
"""Half of a piece, to be opened out along y = 0."""
WHOLE_FRONT: Outline = ((0, 0), (10, -40), (80, -50), (100, 0), (80, 50), (10, 40))
HALF_YOKE: Outline = ((0, 0), (60, 10), (40, 50), (0, 40))
"""Half of a piece, to be opened out along x = 0: its fold edge runs across its grain."""
WHOLE_YOKE: Outline = ((0, 0), (60, 10), (40, 50), (0, 40), (-40, 50), (-60, 10))

QUARTER_ROUND: Outline = ((0, 0), (120, 0), (90, 50), (0, 80))
"""A quarter of a piece, to be opened out along y = 0 and along x = 0."""
HALF_ALONG: Outline = ((-120, 0), (120, 0), (90, 50), (0, 80), (-90, 50))
"""The same opened out along x = 0 alone, its other fold edge along the grain."""
HALF_ACROSS: Outline = ((0, -80), (90, -50), (120, 0), (90, 50), (0, 80))
"""The same opened out along y = 0 alone, its other fold edge across the grain."""
WHOLE_ROUND: Outline = (
    *((120, 0), (90, 50), (0, 80), (-90, 50)),
    *((-120, 0), (-90, -50), (0, -80), (90, -50)),
)

SHAPES = {
    "single": LOPSIDED,
    "pair": LOPSIDED,
    "same on both sides": SPEARHEAD,
    "same at both ends": BUTTERFLY,
    "strip": STRIP,
    "fold along": HALF_FRONT,
    "fold across": HALF_YOKE,
}
FOLD_EDGES = {"fold along": ((0.0, 0.0), (100.0, 0.0)), "fold across": ((0.0, 0.0), (0.0, 40.0))}
OPENED_OUT = {"fold along": WHOLE_FRONT, "fold across": WHOLE_YOKE}
