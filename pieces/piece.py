"""A piece: a drafted shape, with all that its cutter must know.

Lengths are millimetres and angles degrees, anticlockwise. A piece is kept in its *laid*
form: the grain points to +x, the outline runs anticlockwise and begins at x = 0; a fold
edge that lies along the grain is on y = 0 with the piece above it, any other piece begins
at y = 0. A piece with two fold edges has their corner at (0, 0), the second on x = 0.
`geometry.laid` brings a piece into that form.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum

from pieces.notions import Notion

Point = tuple[float, float]
Line = tuple[Point, ...]
"""An open line of two points or more."""
Outline = tuple[Point, ...]
"""A closed line, three points or more; the last is not the first again."""


class GrainRule(StrEnum):
    """How the grain of a piece may lie to the length of the cloth."""

    LENGTHWISE = "lengthwise"
    CROSSWISE = "crosswise"
    BIAS = "bias"
    ANY = "any"


@dataclass(frozen=True, slots=True)
class Notch:
    """A mark on the cut line: where it is, and the direction into the piece."""

    at: Point
    inward_deg: float


@dataclass(frozen=True, slots=True)
class Seam:
    """A named stretch of the sewing line, not of the cut line.

    `marks_mm` are its notches, by length from its start; `allowance_mm` is what was added outside
    it, None where that is not known; `hem` tells whether it is turned up.
    """

    name: str
    line: Line
    marks_mm: tuple[float, ...] = ()
    allowance_mm: float | None = None
    hem: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """A named point at which a print can meet that of other pieces, on the sewing line.

    `along` and `across` tell which of its places count: along the grain, as at the waist, or
    across it, as at the middle of a front, which is a line along the grain.
    """

    name: str
    at: Point
    along: bool = True
    across: bool = True


@dataclass(frozen=True, slots=True)
class Strip:
    """The strip that a piece is part of: those of one name, garment and cloth make it together.

    Attributes
    ----------
    whole_mm : how long they must be, joined
    ends_mm : what the joins take of each part; its length is measured across the grain
    open_as : where the order leaves open in how many parts it is cut, the name by which a
        `Cutting` knows it; otherwise none
    evenly : whether these must be alike, as where a join shows
    more_joins : whether it may have more than its width asks for, where that saves cloth
    """

    name: str
    whole_mm: float
    ends_mm: float
    open_as: str = ""
    evenly: bool = False
    more_joins: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """A drafted shape.

    Attributes
    ----------
    outline : the cut line, allowances included; of half the piece where it is on the fold, of a
        quarter where it lies in the corner of two
    grain : the thread line, from tail to head; in the laid form the head is towards +x
    on_fold : the edge that lies on a fold of the cloth, or None
    second_fold : the edge square to that one which lies on another fold, or None; both begin at
        the corner in which these meet
    hole : the edge of a hole round that corner, from the first fold edge to the second; empty
        without one
    slit : a line cut once, when the piece lies opened out, for an opening where it has no seam
    cut, pair : parts to cut; with `pair`, so many pairs of one as drawn and one mirrored
    sewing_line : the closed line of the stitching; empty where it is not known
    drawn_lines : lines to draw and not to cut
    joins : pieces joined end to end make one strip; how many joins this piece's strip has, told
        by one of its pieces
    strip : that strip, if it is part of one
    marks : the points at which a print can meet that of other pieces
    match, motif : names of marks: where it is to meet, and where a motif is to be centred
    border : whether its hem, at the grain's tail, is to lie on a border along the selvedge
    hem_mm : from the cut edge there up to the highest point of the finished hem
    draft : the draft that it comes from, by its name in an order; empty for a ready piece
    """

    name: str
    fabric: str
    outline: Outline
    grain: tuple[Point, Point]
    on_fold: tuple[Point, Point] | None = None
    cut: int = 1
    pair: bool = False
    grain_rule: GrainRule = GrainRule.LENGTHWISE
    garment: str = ""
    sewing_line: Outline = ()
    seams: tuple[Seam, ...] = ()
    notches: tuple[Notch, ...] = ()
    drawn_lines: tuple[Line, ...] = ()
    joins: int = 0
    strip: Strip | None = None
    marks: tuple[Mark, ...] = ()
    match: tuple[str, ...] = ()
    motif: tuple[str, ...] = ()
    border: bool = False
    hem_mm: float = 0.0
    second_fold: tuple[Point, Point] | None = None
    hole: Line = ()
    slit: Line = ()
    draft: str = ""

    @property
    def fold_edges(self) -> tuple[tuple[Point, Point], ...]:
        """The edges that can lie on a fold: none, one, or two."""
        return tuple(edge for edge in (self.on_fold, self.second_fold) if edge is not None)

    @property
    def opens_to(self) -> int:
        """How many times what is drawn the whole piece is: 2 with a fold edge, 4 with two."""
        return 1 << len(self.fold_edges)

    @property
    def key(self) -> tuple[str, str]:
        """The garment's and the piece's name, which together are unique in an order."""
        return (self.garment, self.name)

    @property
    def parts(self) -> int:
        """How many parts of cloth are wanted of it: a pair counts two."""
        return self.cut * (2 if self.pair else 1)


class How(StrEnum):
    """How the first edge of a join is brought to the length of the second."""

    PLAIN = "sewn"
    EASED = "eased"
    GATHERED = "gathered"
    PLEATED = "pleated"


class Stage(IntEnum):
    """When a seam is sewn: a sound order of work (common practice)."""

    SHAPE = 1
    """Darts, panels and pleats; strips joined end to end."""
    SHOULDERS = 2
    NECK = 3
    """Collars, facings and bindings."""
    GATHERS = 4
    """Threads drawn up."""
    SIDES = 5
    SLEEVES = 6
    TRIMS = 7
    """Tiers, bands and pockets."""
    WAIST = 8
    CLOSURE = 9
    HEMS = 10


@dataclass(frozen=True, slots=True)
class Side:
    """An edge of a piece, by their names."""

    piece: str
    seam: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Join:
    """One edge sewn to another.

    Attributes
    ----------
    what : what the seam is called
    this, that : the two edges; `this` is eased or gathered to `that`
    and_that : further edges that make one with `that`, as the panels of a front have an armhole
    longer_mm, fullness : this is so much longer than that, and then so many times as long
    plain_mm : so much of both is not gathered, as below the notches of a puff's cap
    turned : whether the two edges run opposite ways, as both sides of one sleeve's underarm do;
        front and back, each drawn with the middle at the same side, run the same way
    smooth : at which ends, start and end of `this`, a line runs on over the seam
    how : whether what is longer is eased, gathered or pleated in
    whole : whether each edge is taken over all the parts that are cut of its piece, opened out, as
        a ring is sewn to a ring; angles and notches are then not compared
    stage : when it is sewn
    """

    what: str
    this: Side
    that: Side
    longer_mm: float = 0.0
    fullness: float = 1.0
    plain_mm: float = 0.0
    turned: bool = False
    smooth: tuple[bool, bool] = (True, True)
    how: How = How.PLAIN
    and_that: tuple[Side, ...] = ()
    whole: bool = False
    stage: Stage = Stage.SIDES


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to sew.

    Attributes
    ----------
    stage : when
    what : the edge or the seam; a whole sentence where `how` is None
    to : what it is sewn to; nothing where `what` says it
    how : how what is longer is brought to the length of the other
    this_mm, that_mm : how long it is, and what it is sewn to
    plain_mm : so much of both is not gathered
    quarters : whether its notches mark quarters
    marks : how many notches it has otherwise
    """

    stage: Stage
    what: str
    to: str = ""
    how: How | None = How.PLAIN
    this_mm: float = 0.0
    that_mm: float = 0.0
    plain_mm: float = 0.0
    quarters: bool = False
    marks: int = 0


@dataclass(frozen=True, slots=True)
class Sewing:
    """How a garment is sewn: its steps, in the order in which its parts are drafted."""

    garment: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class SeamCheck:
    """Two lengths that must meet when sewn."""

    what: str
    garment: str
    this_mm: float
    that_mm: float
    allowed_mm: float

    @property
    def difference_mm(self) -> float:
        """This less that."""
        return self.this_mm - self.that_mm

    @property
    def ok(self) -> bool:
        """Whether the two meet within what is allowed."""
        return abs(self.difference_mm) <= self.allowed_mm


@dataclass(frozen=True, slots=True)
class Finding:
    """Something worth telling that stops nothing; `code` never changes its meaning.

    `key` is the path of the key that it speaks of, as a `Fault` has it; empty where it speaks of
    none, or of several. `each` are its sentences apart where it has several things to tell.
    """

    code: str
    message: str
    key: str = ""
    each: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Draft:
    """What drafting gives: pieces in their laid form, seams compared, things found, and joins.

    `notions` are what is needed besides cloth; `sewing` is for each garment that is drafted.
    """

    pieces: tuple[Piece, ...]
    seam_checks: tuple[SeamCheck, ...] = ()
    findings: tuple[Finding, ...] = ()
    joins: tuple[Join, ...] = ()
    notions: tuple[Notion, ...] = ()
    sewing: tuple[Sewing, ...] = ()
