"""What a draft is given besides its options, what it gives back, and how it refuses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from pieces.body.measurements import Body, in_words
from pieces.curves import length
from pieces.drafting.pattern import Allowances, Edge, Pattern, Role
from pieces.drafting.spec import USUAL, Cutting, PartSpec
from pieces.errors import Fault, OrderFault
from pieces.notions import Notion
from pieces.piece import Finding, Join, Piece, SeamCheck, Side, Step
from pieces.units import Unit, format_length
from pieces.wording import Wording, either, such_as


@dataclass(frozen=True, slots=True)
class Armhole:
    """Lengths of the front and back armhole, each from the underarm to the shoulder."""

    front_mm: float
    back_mm: float

    @property
    def front_marks_mm(self) -> tuple[float, ...]:
        """One notch in front, by length from the underarm; common practice."""
        return (0.4 * self.front_mm,)

    @property
    def back_marks_mm(self) -> tuple[float, ...]:
        """Two notches at the back, so that left and right sleeve are told apart."""
        return (0.4 * self.back_mm, 0.4 * self.back_mm + 8.0)


@dataclass(frozen=True, slots=True)
class Half:
    """Half of a bodice's front or back: its edges, anticlockwise, with the middle at x = 0.

    `panels` are the names of the pieces that it is cut as, with the edges that each has; it is cut
    as one where there are none.
    """

    name: str
    edges: tuple[Edge, ...]
    panels: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def sides(self, edge: str) -> tuple[Side, ...]:
        """Where its edge of that name is on the pieces that it is cut as."""
        panels = self.panels or ((self.name, (edge,)),)
        return tuple(Side(name, edge) for name, edges in panels if edge in edges)

    def edge(self, name: str, *, first: bool = False) -> Edge:
        """Its edge of that name; of one that a dart parts, the last stretch or the first."""
        found = [edge for edge in self.edges if edge.name == name]
        return found[0 if first else -1]

    @property
    def middle(self) -> Edge:
        """Its centre front or centre back."""
        return self.edges[-1]

    @property
    def opens(self) -> bool:
        """Whether it is in two, for a zip or buttons in the middle."""
        return self.middle.role in (Role.OPENING, Role.LAP)

    @property
    def neck_is_square(self) -> bool:
        """Whether the neck meets the middle squarely, as all but a V do."""
        (ax, ay), (bx, by) = self.edge("neck").line[-2:]
        return abs(by - ay) < 0.05 * abs(bx - ax)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bodice:
    """What a bodice gives to the parts that are sewn to it.

    Attributes
    ----------
    opening_mm : the allowance at its opening
    lap_mm : by how much each edge of that reaches past the middle where it laps for buttons, once
        it is folded back, or 0
    round_neck, sleeveless : what collars and sleeves must know
    """

    front: Half
    back: Half
    opening_mm: float
    lap_mm: float = 0.0
    round_neck: bool
    sleeveless: bool

    @property
    def armhole(self) -> Armhole:
        """The armhole that a sleeve is drawn for."""
        return Armhole(*(length(half.edge("armhole").line) for half in (self.front, self.back)))


@dataclass(frozen=True, slots=True)
class Remainder:
    """What is left of a tier's last strip: how long and how deep, and of which cloths."""

    length_mm: float
    depth_mm: float
    fabric: str
    lining: str | None


@dataclass(frozen=True, slots=True)
class Layer:
    """The inmost cloth of a skirt, its lining or else its shell, on which net may be sewn.

    How long its upper and lower edge are, all round as cut, and how far it is from one to the
    other, the same all round.
    """

    name: str
    top_mm: float
    hem_mm: float
    long_mm: float

    def round_at(self, down_mm: float) -> float:
        """How long the line is that lies so far below its upper edge.

        >>> Layer("skirt lining", 500.0, 2500.0, 400.0).round_at(100.0)
        1000.0
        """
        return self.top_mm + (self.hem_mm - self.top_mm) * down_mm / self.long_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftContext:
    """Where a part stands in its garment.

    Attributes
    ----------
    garment, garment_key : its name, and its path in the order file
    label : what tells the part from others of its kind, "" if it is the only one
    number : of a tier in its skirt, from 1; `tiers` are in that skirt
    bodice : the one before it, None without one
    waist_mm, waist_drop_mm : the lower edge of the bodice or yoke before it, None without one,
        and how far it lies below the natural waist
    edge_mm, edge : what a tier or band is sewn to: the length, and its name in words
    left : what the tier above left of its last strip for this one
    skirt_mm : from the waist seam to the lowest hem of the skirts before it, 0 without one
    curved_edge : whether that is the hem of a flared skirt
    joined_below : whether a tier or band is sewn to its lower edge, `below_mm` deep if a band
    cutting : how its strips are cut where the order leaves it open
    unit : the dresser's, for lengths in messages
    sized : whether a size table has filled what it knows of the body
    on_elastic : whether the garment has a casing, whose elastic lets its waist out
    pocket_mm : how long an opening pockets ask of its side seams, 0 without any
    layer : the inmost cloth of the skirt before it that hangs level, None without one
    """

    garment: str
    garment_key: str
    body: Body
    part: PartSpec
    label: str = ""
    number: int = 1
    tiers: int = 1
    bodice: Bodice | None = None
    waist_mm: float | None = None
    waist_drop_mm: float = 0.0
    edge_mm: float | None = None
    edge: str = "waist"
    left: Remainder | None = None
    skirt_mm: float = 0.0
    curved_edge: bool = False
    joined_below: bool = False
    below_mm: float = 0.0
    cutting: Cutting = USUAL
    unit: Unit = Unit.CM
    sized: bool = False
    on_elastic: bool = False
    pocket_mm: float = 0.0
    layer: Layer | None = None

    def told(self, length_mm: float) -> str:
        """A length as the dresser's tape has it."""
        return format_length(length_mm, self.unit)

    def finding(self, code: str, message: str, option: str = "") -> Finding:
        """Something worth telling of the part, at one of its options or else at all of it."""
        key = f"{self.part.key}.{option}" if option else self.part.key
        return Finding(code, f"{self.garment}: " + message, key)

    def named(self, name: str) -> str:
        """A piece's name with the part's label before it."""
        return f"{self.label} {name}" if self.label else name


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftResult:
    """What a draft gives: pieces, checks, findings, and lengths for the parts after it.

    Attributes
    ----------
    joins : which edges of the pieces are sewn to which; their lengths are checked beside those of
        `seam_checks`
    bodice, waist_mm, waist_drop_mm : see `DraftContext`
    waist_edge : what to call that edge
    hem_mm, name : the lower edge of it, to which something may be sewn, and whose it is; that
        of the first piece if no name is given
    long_mm : from its upper to its lower edge, of a skirt, tier or band
    left : what is left of its last strip where the next tier goes on with it
    notions : what it needs besides cloth, but for what closes the garment
    steps : what is sewn besides `joins`, such as a whole edge to another
    layer : its own, where it is a skirt that hangs level
    opens_mm, opens_at : how far it opens down from its top, and where if not as the bodice does
    """

    pieces: tuple[Piece, ...]
    joins: tuple[Join, ...] = ()
    seam_checks: tuple[SeamCheck, ...] = ()
    findings: tuple[Finding, ...] = ()
    bodice: Bodice | None = None
    waist_mm: float | None = None
    waist_drop_mm: float = 0.0
    waist_edge: str = "waist"
    hem_mm: float | None = None
    name: str = ""
    long_mm: float | None = None
    left: Remainder | None = None
    notions: tuple[Notion, ...] = ()
    steps: tuple[Step, ...] = ()
    opens_mm: float = 0.0
    opens_at: str = ""
    layer: Layer | None = None


LEAST_MM = 5.0
"""No part of a garment is shorter or shallower; common practice."""


@dataclass(slots=True)
class Needs:
    """Collects what a part lacks, so that all of it is reported at once."""

    context: DraftContext
    faults: list[Fault] = field(default_factory=list)

    def told(self, length_mm: float) -> str:
        """A length as the dresser's tape has it."""
        return self.context.told(length_mm)

    def such_as(self, option: str, length_mm: float) -> Wording:
        """An example of an option, for a remedy."""
        return such_as(option, self.told(length_mm))

    def measure(self, name: str, why: str) -> float:
        """A measure of the body; 0 and a fault if it is not known."""
        value: float | None = getattr(self.context.body, name)
        if value is None:
            key = f"{self.context.garment_key}.body.{name}"
            remedy = "Measure it, or name a size of the tables, " + such_as("size", "4 years") + "."
            if self.context.sized:
                remedy = Wording("Measure it: the table of this size has none.")
            self.faults.append(Fault("", key, f"{why} needs the {in_words(name)}.", remedy))
            return 0.0
        return value

    def bodice(self, why: str) -> Bodice:
        """The bodice before the part; OrderFault, with all that is noted, if there is none."""
        found = self.context.bodice
        if found is None:
            remedy = either(
                'Put a part with draft = "bodice" before it.', "Put a bodice before it."
            )
            self.refuse("draft", f"{why}, and there is none before it.", remedy)
            raise OrderFault(self.faults)
        return found

    def refuse(self, option: str, message: str, remedy: str) -> None:
        """A fault at an option of the part."""
        self.faults.append(Fault("", f"{self.context.part.key}.{option}", message, remedy))

    def enough(self, option: str, length_mm: float, least_mm: float = LEAST_MM) -> float:
        """The length itself; with a fault if it is too little to sew, unless one is noted."""
        if length_mm < least_mm and not self.faults:
            self.refuse(
                option,
                f"{self.told(length_mm)} is too little to cut and sew.",
                "Give more, or look whether the unit is right.",
            )
        return length_mm

    def enough_left(self, option: str, left_mm: float) -> float:
        """What an option leaves of a length; with a fault if that is too little to sew."""
        if left_mm < LEAST_MM and not self.faults:
            self.refuse(
                option,
                f"It leaves {self.told(max(0.0, left_mm))}, too little to cut and sew.",
                "Give less, or look whether the unit is right.",
            )
        return left_mm

    def knows(self, option: str) -> bool:
        """Whether the part's draft has an option."""
        return hasattr(self.context.part.options, option)

    def gives(self, option: str) -> bool:
        """Whether the part's draft knows an option, and the order gives it."""
        return getattr(self.context.part.options, option, None) is not None

    def gathers(self, option: str, fullness: float) -> float:
        """The fullness itself; with a fault if the edge would be too short to be gathered."""
        if fullness < 1:
            self.refuse(
                option,
                f"With a fullness of {fullness:g} the edge is shorter than what it is sewn to.",
                "Write 1 for a plain seam, or more to gather it.",
            )
        return fullness

    def settle(self) -> None:
        """Raise OrderFault if anything is lacking."""
        if self.faults:
            raise OrderFault(self.faults)


def pieces_of(
    context: DraftContext,
    patterns: Sequence[Pattern],
    fabric: str,
    allowances: Allowances,
    suffix: str = "",
) -> tuple[Piece, ...]:
    """Patterns made into pieces of one cloth; OrderFault if the allowances don't fit them."""
    needs = Needs(context)
    made = []
    for pattern in patterns:
        try:
            made.append(pattern.piece(context.garment, fabric, allowances, suffix))
        except ValueError:
            needs.refuse(
                "seam_allowance",
                f"The allowances don't fit around the {pattern.name}{suffix}.",
                "Make the seam and hem allowance smaller.",
            )
    needs.settle()
    return tuple(made)


Drawn = tuple[Sequence[Pattern], Allowances]


def shell_and_lining(
    context: DraftContext, shell: Drawn, lining: Drawn
) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """Pieces of the part's cloth, and of its lining, drawn for itself; none if it has none."""
    part = context.part
    outer = pieces_of(context, shell[0], part.fabric, shell[1])
    if part.lining is None:
        return outer, ()
    return outer, pieces_of(context, lining[0], part.lining, lining[1], " lining")


def lined(
    context: DraftContext, patterns: Sequence[Pattern], allowances: Allowances
) -> tuple[Piece, ...]:
    """Patterns made into pieces of the part's cloth, and again of its lining if it has one."""
    shell, lining = lined_apart(context, patterns, allowances)
    return shell + lining


def lined_apart(
    context: DraftContext, patterns: Sequence[Pattern], allowances: Allowances
) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """As `lined`, the pieces of the lining by themselves; none if it has none."""
    return shell_and_lining(context, (patterns, allowances), (patterns, allowances))
