"""The cutter's rules as one table written by hand; `rules` and `verify` are both held to it.

Rows read as a cutter says them: "1+1" is an outline that gives one wanted part and one spare.
Sources of the rules: one part mirrored for the other of a pair on open cloth, one cut giving
both on folded cloth, a fold edge on the fold, single pieces never face down (Textiles and
Garment Construction, Form One, Tanzania Institute of Education 2024, p. 179, and common
practice); one way only with a nap (Dress Making, National Instructional Media Institute 2024,
p. 32); true bias at 45 degrees (The New Dressmaker, 1921, p. 16). The rest is common practice.
"""

from __future__ import annotations

from nesting.fabric.fabric import Faces, LayName, Nap
from pieces.piece import GrainRule
from tests.nesting.rules.rules_shapes import HALF_ACROSS, HALF_ALONG

OPEN, FOLD, CROSSWISE_FOLD, DOUBLE_FOLD, PARTIAL_FOLD, QUARTER_FOLD = LayName
NONE, ONE_WAY, PER_GARMENT = Nap.NONE, Nap.ONE_WAY, Nap.PER_GARMENT
DIFFERENT, ALIKE = Faces.DIFFERENT, Faces.ALIKE
LENGTHWISE, CROSSWISE, BIAS, ANY = GrainRule

Way = tuple[float, bool]
"""A turn in degrees, and whether mirrored first."""

# --- Which turns the grain and the nap allow -----------------------------------------------

TURNS: dict[tuple[GrainRule, Nap], tuple[float, ...]] = {
    (LENGTHWISE, NONE): (0, 180),
    (LENGTHWISE, ONE_WAY): (0,),
    (LENGTHWISE, PER_GARMENT): (0, 180),
    (CROSSWISE, NONE): (90, -90),
    (CROSSWISE, ONE_WAY): (90, -90),
    (CROSSWISE, PER_GARMENT): (90, -90),
    (BIAS, NONE): (45, -45, 135, -135),
    (BIAS, ONE_WAY): (45,),
    (BIAS, PER_GARMENT): (45, -135),
    (ANY, NONE): (0, 90, -90, 180),
    (ANY, ONE_WAY): (0, 90),
    (ANY, PER_GARMENT): (0, 90, -90, 180),
}

# --- Which pieces are themselves face down ------------------------------------------------------
# Without a nap all that are their own mirror image, some turned about. With one only those that are
# so as they lie: a piece that is the same at both ends would have to be turned end for end.

ITSELF_FACE_DOWN: dict[Nap, set[str]] = {
    NONE: {"same on both sides", "same at both ends", "strip"},
    ONE_WAY: {"same on both sides", "strip"},
    PER_GARMENT: {"same on both sides", "strip"},
}

# --- Which pieces lie the same way along a nap -----------------------------------------------
# Held up by their arrows, all right side out, pieces shade alike if the nap runs the same way over
# them: up or down in those cut along the cloth, to the right or to the left in those cut across
# it. So with a nap all arrows of one grain rule point one way on the face of the cloth, a
# mirrored piece's too (one way only with a nap: Dress Making, as above; that tops of pieces cut
# across all point to the same selvedge is the same rule turned by a quarter, common practice).
# With a one-way nap all garments lie alike, and which selvedge crosswise arrows point to is one
# choice for the cloth. With a nap for each garment a garment may be turned end for end, and its
# crosswise pieces choose their selvedge by themselves. "Any" leaves open whether a piece lies along
# or across: that much of the shade its maker does not mind.

ONE_WAY_TOGETHER: dict[GrainRule, tuple[set[float], ...]] = {
    LENGTHWISE: ({0}, {180}),
    CROSSWISE: ({90}, {-90}),
    BIAS: ({45}, {-135}),
    ANY: ({0, 90}, {180, -90}),
}
"""The turns that may lie beside each other with a nap, of which TURNS allows the first or both."""

# --- Whether the layer below gives a wanted part as well, with a nap --------------------------
# It shows the mirror image at the turn mirrored: a crosswise piece at 90 has below it one at -90,
# which shades against it, so that hands of a pair are cut one by one there and the part below is
# left over; but a piece that is the same at both ends may take its other end for its top. Without a
# nap every layer is as good. Turned over, where both faces are alike, a piece that lies along the
# cloth keeps its nap; one that lies across shows it the other way, so that such faces gain nothing.

ALL_OF_THEM, ALONG, ACROSS, NO_TURN = {0, 180, 90, -90, 45, -135}, {0, 180}, {90, -90}, set[float]()
GOOD_BELOW: dict[str, dict[GrainRule, set[float]]] = {
    "pair": {LENGTHWISE: ALONG, CROSSWISE: NO_TURN, BIAS: NO_TURN, ANY: ALONG},
    "same on both sides": {LENGTHWISE: ALONG, CROSSWISE: NO_TURN, BIAS: NO_TURN, ANY: ALONG},
    "same at both ends": {LENGTHWISE: NO_TURN, CROSSWISE: ACROSS, BIAS: NO_TURN, ANY: ACROSS},
    "strip": {LENGTHWISE: ALONG, CROSSWISE: ACROSS, BIAS: NO_TURN, ANY: ALL_OF_THEM},
    "single": {LENGTHWISE: NO_TURN, CROSSWISE: NO_TURN, BIAS: NO_TURN, ANY: NO_TURN},
}
"""The turns at which it does, by what the piece is; opened out about a fold edge along its grain a
piece is the same on both sides, about one across it the same at both ends, about two a strip."""

# --- Which lays may be used with which nap --------------------------------------------------
# Four layers always show two against the nap. Ends together, one layer is cut off at the fold
# and turned end for end, so that no piece can lie on the crosswise fold; pieces drawn for the
# fold lie opened out there, or on the fold where there is one and their grain allows it.

NEVER: set[tuple[LayName, Nap]] = {(QUARTER_FOLD, ONE_WAY), (QUARTER_FOLD, PER_GARMENT)}

# --- How many layers lie on each other ------------------------------------------------------

LAYERS: dict[LayName, str] = {
    OPEN: "one",
    FOLD: "two",
    CROSSWISE_FOLD: "two",
    DOUBLE_FOLD: "two",
    PARTIAL_FOLD: "two beside one",
    QUARTER_FOLD: "four",
}
HAS_LENGTHWISE_FOLD = {FOLD, DOUBLE_FOLD, PARTIAL_FOLD, QUARTER_FOLD}

# --- Which lays a print leaves, where pieces cut in pairs are to meet it ----------------------
# A fold lengthwise has both layers at the same place along the cloth, so that a repeat along it
# meets; below a fold crosswise it runs the other way, and cut and turned it need not meet. Across
# the cloth a fold shows the print from its other side: it meets where the fold lies on a line of
# the print, or half a repeat from one, which two folds do only by chance; crosswise folded, each
# layer shows the same place, but cut and turned it is as at a fold. A border along one selvedge
# lies along one edge of both layers only on a crosswise fold (open, or crosswise fold: common
# practice for border prints; folding on a line of the print: common practice).

PRINT_LAYS: dict[str, set[LayName]] = {
    "length": {OPEN, FOLD, DOUBLE_FOLD, PARTIAL_FOLD},
    "width": {OPEN, FOLD, CROSSWISE_FOLD, PARTIAL_FOLD, QUARTER_FOLD},
    "length and width": {OPEN, FOLD, PARTIAL_FOLD},
    "lower border": {OPEN, CROSSWISE_FOLD},
    "upper border": {OPEN, CROSSWISE_FOLD},
    "both borders": {OPEN, FOLD, CROSSWISE_FOLD, QUARTER_FOLD},
}
NAPPED_PRINT_LAYS: dict[str, set[LayName]] = {
    "length": {OPEN, FOLD, DOUBLE_FOLD, PARTIAL_FOLD},
    "width": {OPEN, FOLD, CROSSWISE_FOLD, PARTIAL_FOLD},
    "length and width": {OPEN, FOLD, PARTIAL_FOLD},
    "lower border": {OPEN},
    "upper border": {OPEN},
    "both borders": {OPEN, FOLD, CROSSWISE_FOLD},
}
"""With a one-way nap."""

# A lay that a print forbids may still fold what asks nothing of it, and end opened out for the
# rest: any that OPENS_OUT, with the naps that it may be used with.

# --- Which lays may end in an opened-out section, one layer ---------------------------------
# What is cut there follows the rows "one" of CUTS, a piece drawn for the fold opened out
# (design of our own; that odd single pieces are cut from a single layer is common practice).

OPENS_OUT = {FOLD, CROSSWISE_FOLD, DOUBLE_FOLD, PARTIAL_FOLD, QUARTER_FOLD}

# --- Which way a piece may lie with its fold edge on the fold at y = 0 ---------------------

ON_FOLD_WAYS: dict[tuple[str, GrainRule, Nap], tuple[Way, ...]] = {
    ("fold along", LENGTHWISE, NONE): ((0, False), (180, True)),
    ("fold along", LENGTHWISE, ONE_WAY): ((0, False),),
    ("fold along", LENGTHWISE, PER_GARMENT): ((0, False), (180, True)),
    ("fold along", CROSSWISE, NONE): (),
    ("fold along", CROSSWISE, ONE_WAY): (),
    ("fold along", CROSSWISE, PER_GARMENT): (),
    ("fold along", BIAS, NONE): (),
    ("fold along", BIAS, ONE_WAY): (),
    ("fold along", BIAS, PER_GARMENT): (),
    ("fold along", ANY, NONE): ((0, False), (180, True)),
    ("fold along", ANY, ONE_WAY): ((0, False),),
    ("fold along", ANY, PER_GARMENT): ((0, False), (180, True)),
    ("fold across", LENGTHWISE, NONE): (),
    ("fold across", LENGTHWISE, ONE_WAY): (),
    ("fold across", LENGTHWISE, PER_GARMENT): (),
    ("fold across", CROSSWISE, NONE): ((90, False), (90, True)),
    ("fold across", CROSSWISE, ONE_WAY): ((90, False),),
    ("fold across", CROSSWISE, PER_GARMENT): ((90, False),),
    ("fold across", BIAS, NONE): (),
    ("fold across", BIAS, ONE_WAY): (),
    ("fold across", BIAS, PER_GARMENT): (),
    ("fold across", ANY, NONE): ((90, False), (90, True)),
    ("fold across", ANY, ONE_WAY): ((90, False),),
    ("fold across", ANY, PER_GARMENT): ((90, False),),
}

# With a nap, the whole of a half drawn for a fold across its grain points where the half does if
# that lies as drawn; face down, the whole would point the other way.

# --- Which way it may lie on the upper of two folds -----------------------------------------

UPPER_FOLD_WAYS: dict[tuple[str, GrainRule, Nap], tuple[Way, ...]] = {
    ("fold along", LENGTHWISE, NONE): ((0, True), (180, False)),
    ("fold along", LENGTHWISE, ONE_WAY): ((0, True),),
    ("fold along", LENGTHWISE, PER_GARMENT): ((0, True), (180, False)),
    ("fold along", ANY, NONE): ((0, True), (180, False)),
    ("fold along", ANY, ONE_WAY): ((0, True),),
    ("fold along", ANY, PER_GARMENT): ((0, True), (180, False)),
    ("fold across", CROSSWISE, NONE): ((-90, False), (-90, True)),
    ("fold across", CROSSWISE, ONE_WAY): ((-90, False),),
    ("fold across", CROSSWISE, PER_GARMENT): ((-90, False),),
    ("fold across", ANY, NONE): ((-90, False), (-90, True)),
    ("fold across", ANY, PER_GARMENT): ((-90, False),),
}
"""All others: none."""

# --- Which way a piece may lie with its fold edge on a crosswise fold, the cloth past it --------
# With a nap the fold is cut through, and nothing lies on it.

CROSS_FOLD_WAYS: dict[tuple[str, GrainRule], tuple[Way, ...]] = {
    ("fold along", LENGTHWISE): (),
    ("fold along", CROSSWISE): ((-90, False), (90, True)),
    ("fold along", BIAS): (),
    ("fold along", ANY): ((-90, False), (90, True)),
    ("fold across", LENGTHWISE): ((0, False), (0, True)),
    ("fold across", CROSSWISE): (),
    ("fold across", BIAS): (),
    ("fold across", ANY): ((0, False), (0, True)),
}

# --- A piece with two fold edges, drawn as a quarter ---------------------------------------------
# Where two folds meet, as on a quarter fold alone, it lies in their corner with an edge on each; of
# four layers it takes all, and one corner has room for one. Elsewhere it is opened out about one
# edge, and is a piece as any other with the edge that is left: the one that can lie along the fold.
# On open cloth it lies whole. (Common practice for whole circles: "fold the cloth in four".)

CORNER_WAYS: dict[GrainRule, tuple[Way, ...]] = {
    LENGTHWISE: ((0, False),),
    CROSSWISE: ((90, True),),
    BIAS: (),
    ANY: ((0, False), (90, True)),
}
"""Without a nap; with one there is no quarter fold."""

HALF_ON_FOLD: dict[tuple[str, GrainRule], str] = {
    ("lengthwise", LENGTHWISE): "fold along",
    ("lengthwise", CROSSWISE): "fold across",
    ("lengthwise", BIAS): "fold along",
    ("lengthwise", ANY): "fold along",
    ("crosswise", LENGTHWISE): "fold across",
    ("crosswise", CROSSWISE): "fold along",
    ("crosswise", BIAS): "fold across",
    ("crosswise", ANY): "fold across",
}
"""As which kind of half it lies on a fold; the ways are those of that kind."""
HALVES = {"fold along": HALF_ALONG, "fold across": HALF_ACROSS}

CORNER_CUTS: dict[int, str] = {
    1: "in corner 1+0",
    2: "in corner 1+0, on fold 1+1",
    3: "in corner 1+0, on fold 2+0",
}
"""On a quarter fold, of one, two and three wanted: one in the corner, the others on one fold."""

# --- What is cut of a piece on the crosswise fold: one, two and three of three wanted ----------
# On the fold each outline gives one, without a spare; the others lie opened out on two layers,
# which give two of them: without a nap a piece with a fold edge is its own mirror image.

CROSS_FOLD_CUTS: dict[int, str] = {
    1: "1+0, 2+0 same",
    2: "1+0, 1+0, 1+1 same",
    3: "1+0, 1+0, 1+0",
}

# --- The same where the fold ends opened out: (meant for the fold, cut in the section) of three ---
# What is cut in the section is cut singly; what is left of those meant for the fold lies on it.

CROSS_FOLD_OPENED: dict[tuple[int, int], tuple[str, str]] = {
    (1, 1): ("on fold 1+0, beside 1+1", "1+0"),
    (1, 2): ("on fold 1+0", "1+0, 1+0"),
    (2, 1): ("on fold 1+0, on fold 1+0", "1+0"),
    (3, 1): ("on fold 1+0, on fold 1+0", "1+0"),
    (3, 2): ("on fold 1+0", "1+0, 1+0"),
    (1, 3): ("", "1+0, 1+0, 1+0"),
}

# --- Where a flaw from 100 to 220 mm past the cut end lies, measured from a crosswise fold --------
# The layer on the table runs on from the fold; the upper layer is what lies before it, folded back:
# place of the fold, then (layer, from, to) of what lies on each. Sums on a strip of paper.

FLAW_FROM_FOLD: dict[float, tuple[tuple[int, float, float], ...]] = {
    50.0: ((1, 50.0, 170.0),),
    100.0: ((1, 0.0, 120.0),),
    150.0: ((1, 0.0, 70.0), (2, 0.0, 50.0)),
    220.0: ((2, 0.0, 120.0),),
    300.0: ((2, 80.0, 200.0),),
}

# --- What is cut: for one, two and three parts (or pairs) wanted ---------------------------
# Hands: "drawn" and "mirrored" allow that one only, "either" asks for both to be offered,
# "same" means that the mirror image is the piece itself: drawn suffices, mirrored is as good. Of
# a piece that is no pair, "drawn" and "same" stand for each other, as ITSELF_FACE_DOWN has it. The
# row is "own mirror image" where GOOD_BELOW says that the layer below gives a wanted part, too.
# An outline is cut through as many layers as it gives parts, twice as many with an edge on the
# fold.

CUTS: dict[tuple[str, Faces, str], tuple[str, str, str]] = {
    ("one", DIFFERENT, "single"): (
        "1+0 drawn",
        "1+0 drawn, 1+0 drawn",
        "1+0 drawn, 1+0 drawn, 1+0 drawn",
    ),
    ("one", ALIKE, "single"): (
        "1+0 either",
        "1+0 either, 1+0 either",
        "1+0 either, 1+0 either, 1+0 either",
    ),
    ("one", DIFFERENT, "pair"): (
        "1+0 drawn, 1+0 mirrored",
        "1+0 drawn, 1+0 mirrored, 1+0 drawn, 1+0 mirrored",
        "1+0 drawn, 1+0 mirrored, 1+0 drawn, 1+0 mirrored, 1+0 drawn, 1+0 mirrored",
    ),
    ("one", ALIKE, "pair"): (
        "1+0 either, 1+0 either",
        "1+0 either, 1+0 either, 1+0 either, 1+0 either",
        "1+0 either, 1+0 either, 1+0 either, 1+0 either, 1+0 either, 1+0 either",
    ),
    ("one", DIFFERENT, "own mirror image"): (
        "1+0 same",
        "1+0 same, 1+0 same",
        "1+0 same, 1+0 same, 1+0 same",
    ),
    ("one", ALIKE, "own mirror image"): (
        "1+0 either",
        "1+0 either, 1+0 either",
        "1+0 either, 1+0 either, 1+0 either",
    ),
    ("two", DIFFERENT, "single"): (
        "1+1 drawn",
        "1+1 drawn, 1+1 drawn",
        "1+1 drawn, 1+1 drawn, 1+1 drawn",
    ),
    ("two", ALIKE, "single"): ("1+1 either", "2+0 either", "2+0 either, 1+1 either"),
    ("two", DIFFERENT, "pair"): (
        "2+0 either",
        "2+0 either, 2+0 either",
        "2+0 either, 2+0 either, 2+0 either",
    ),
    ("two", DIFFERENT, "pair one by one"): (
        "1+1 drawn, 1+1 mirrored",
        "1+1 drawn, 1+1 mirrored, 1+1 drawn, 1+1 mirrored",
        "1+1 drawn, 1+1 mirrored, 1+1 drawn, 1+1 mirrored, 1+1 drawn, 1+1 mirrored",
    ),
    ("two", ALIKE, "pair"): (
        "2+0 either",
        "2+0 either, 2+0 either",
        "2+0 either, 2+0 either, 2+0 either",
    ),
    ("two", DIFFERENT, "own mirror image"): ("1+1 same", "2+0 same", "2+0 same, 1+1 same"),
    ("two", ALIKE, "own mirror image"): ("1+1 either", "2+0 either", "2+0 either, 1+1 either"),
    ("two", DIFFERENT, "on fold"): ("1+0", "1+0, 1+0", "1+0, 1+0, 1+0"),
    ("two", ALIKE, "on fold"): ("1+0", "1+0, 1+0", "1+0, 1+0, 1+0"),
    ("two beside one", DIFFERENT, "single"): (
        "1+0 drawn",
        "1+0 drawn, 1+0 drawn",
        "1+0 drawn, 1+0 drawn, 1+0 drawn",
    ),
    ("two beside one", ALIKE, "single"): ("1+0 either", "2+0 either", "2+0 either, 1+0 either"),
    ("two beside one", DIFFERENT, "pair"): (
        "2+0 either",
        "2+0 either, 2+0 either",
        "2+0 either, 2+0 either, 2+0 either",
    ),
    ("two beside one", DIFFERENT, "pair one by one"): (
        "1+0 drawn, 1+0 mirrored",
        "1+0 drawn, 1+0 mirrored, 1+0 drawn, 1+0 mirrored",
        "1+0 drawn, 1+0 mirrored, 1+0 drawn, 1+0 mirrored, 1+0 drawn, 1+0 mirrored",
    ),
    ("two beside one", ALIKE, "pair"): (
        "2+0 either",
        "2+0 either, 2+0 either",
        "2+0 either, 2+0 either, 2+0 either",
    ),
    ("two beside one", DIFFERENT, "own mirror image"): (
        "1+0 same",
        "2+0 same",
        "2+0 same, 1+0 same",
    ),
    ("two beside one", ALIKE, "own mirror image"): (
        "1+0 either",
        "2+0 either",
        "2+0 either, 1+0 either",
    ),
    ("two beside one", DIFFERENT, "on fold"): ("1+0", "1+0, 1+0", "1+0, 1+0, 1+0"),
    ("two beside one", ALIKE, "on fold"): ("1+0", "1+0, 1+0", "1+0, 1+0, 1+0"),
    ("four", DIFFERENT, "single"): ("1+3 drawn", "2+2 drawn", "2+2 drawn, 1+3 drawn"),
    ("four", ALIKE, "single"): ("1+3 either", "2+2 either", "3+1 either"),
    ("four", DIFFERENT, "pair"): ("2+2 either", "4+0 either", "4+0 either, 2+2 either"),
    ("four", ALIKE, "pair"): ("2+2 either", "4+0 either", "4+0 either, 2+2 either"),
    ("four", DIFFERENT, "own mirror image"): ("1+3 same", "2+2 same", "3+1 same"),
    ("four", ALIKE, "own mirror image"): ("1+3 either", "2+2 either", "3+1 either"),
    ("four", DIFFERENT, "on fold"): ("1+1", "2+0", "2+0, 1+1"),
    ("four", ALIKE, "on fold"): ("1+1", "2+0", "2+0, 1+1"),
}

HANDS: dict[str, tuple[tuple[bool, ...], tuple[bool, ...]]] = {
    "drawn": ((False,), (False,)),
    "mirrored": ((True,), (True,)),
    "either": ((False, True), (False, True)),
    "same": ((False,), (False, True)),
}
"""Whether mirrored: what must be offered, and what may be."""
