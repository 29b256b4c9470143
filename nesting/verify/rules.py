"""The verifier's statement of the cutter's rules: grain, nap, hands, and what a cut gives.

Every direction here is that of the thread line on the cloth, in degrees anticlockwise from
the length, so that a piece's own drawing direction plays no part.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import groupby

import numpy as np
from shapely.geometry import Polygon

from nesting.fabric.fabric import Fabric, Faces, Nap
from nesting.verify.folds import opened_out
from nesting.verify.shape import Laid, Spread, carried, lies_across, named, same_region, turned
from pieces.piece import Finding, GrainRule, Piece

ANGLE_TOLERANCE_DEG = 1e-6
"""Over ten metres of cloth this moves a corner by a fifth of a micrometre."""

ALIKE_MM = 0.01
"""A part counts as the mirror image of another that it covers to this: no scissors tell."""

SURELY_ALIKE_MM = 1e-6
"""Only a piece whose mirror image covers it to this must save its spares."""

_THREAD_DEG = {
    GrainRule.LENGTHWISE: (0.0,),
    GrainRule.CROSSWISE: (90.0, -90.0),
    GrainRule.BIAS: (45.0, -45.0),
    GrainRule.ANY: (0.0, 90.0, -90.0),
}
_ONE_WAY_DEG = {
    GrainRule.LENGTHWISE: (0.0,),
    GrainRule.CROSSWISE: (90.0,),
    GrainRule.BIAS: (45.0,),
    GrainRule.ANY: (0.0, 90.0),
}
"""With a nap: pieces shade alike if their threads point one way on the face of the cloth."""
SENSES_DEG = (0.0, 180.0)
"""With the nap, and turned end for end."""

Tie = tuple[bool, str]
"""Whether pieces lie crosswise; and their garment, or nothing where the nap runs one way."""

Part = tuple[bool, float]
"""One part of cloth: whether it is the mirror image of the drawing, and where its thread runs."""


def _among(angle_deg: float, angles_deg: Sequence[float], off_deg: float = 0.0) -> bool:
    """Whether an angle is one of several, or off it by no more than is allowed."""
    within_deg = off_deg + ANGLE_TOLERANCE_DEG
    return any(abs(math.remainder(angle_deg - one, 360.0)) <= within_deg for one in angles_deg)


def _threads(rule: GrainRule, senses_deg: Sequence[float], nap: Nap) -> tuple[float, ...]:
    threads = (_THREAD_DEG if nap is Nap.NONE else _ONE_WAY_DEG)[rule]
    return tuple(thread + sense for sense in senses_deg for thread in threads)


def _off_deg(laid: Laid, tilt_deg: float) -> float:
    """A piece on the fold has no room to turn off the grain."""
    return 0.0 if laid.placement.on_fold else tilt_deg


def _senses(laid: Laid, nap: Nap, tilt_deg: float) -> set[float]:
    """The senses in which its thread may run so; of a crosswise one, its ways across."""
    rule, thread, off_deg = laid.piece.grain_rule, thread_deg(laid), _off_deg(laid, tilt_deg)
    return {s for s in SENSES_DEG if _among(thread, _threads(rule, (s,), nap), off_deg)}


def _drawn_deg(piece: Piece) -> float:
    """Where the grain points in the piece's own drawing."""
    (x0, y0), (x1, y1) = piece.grain
    return math.degrees(math.atan2(y1 - y0, x1 - x0))


def thread_deg(laid: Laid) -> float:
    """Where a placement's thread line runs on the cloth, between -180 and 180."""
    (x0, y0), (x1, y1) = carried(laid.piece.grain, laid.placement)
    return math.degrees(math.atan2(y1 - y0, x1 - x0))


@lru_cache(maxsize=10_000)
def _mirror_turns(piece: Piece, within_mm: float) -> tuple[float, ...]:
    """The turns that bring the whole piece, grain along the length, onto its mirror image.

    A hem that lies on a border must come onto itself, so it is not turned.
    """
    drawn = turned(opened_out(piece), -_drawn_deg(piece), False)
    image = turned(drawn, 0.0, True)
    meant = Polygon(image - image.min(axis=0))
    found = []
    for turn_deg in range(0, 1 if piece.border else 360, 45):
        corners = turned(drawn, turn_deg, False)
        # Only equal boxes can hold equal shapes: most pieces need no closer look.
        if np.abs(np.ptp(corners, axis=0) - np.ptp(image, axis=0)).max() > 2 * within_mm:
            continue
        if same_region(Polygon(corners - corners.min(axis=0)), meant, within_mm):
            found.append(float(turn_deg))
    return tuple(found)


def grain_findings(laid: Laid, nap: Nap, tilt_deg: float) -> Iterator[Finding]:
    """Whether the thread runs as the grain rule and a one-way nap ask, and is stated so."""
    thread, stated = thread_deg(laid), laid.placement.grain_deg
    rule = laid.piece.grain_rule
    if not _among(stated, (thread,)):
        yield Finding(
            "grain-stated",
            f"{laid.label}: states its grain at {stated:g} degrees; it runs at {thread:g} degrees.",
        )
    senses = _senses(laid, nap, tilt_deg)
    if not _senses(laid, Nap.NONE, tilt_deg):
        yield Finding(
            "grain",
            f"{laid.label}: its grain runs at {thread:g} degrees; {rule} asks for "
            f"{_said(_THREAD_DEG[rule])} degrees, or end for end of that, with a tilt of "
            f"{tilt_deg:g} degrees at most.",
        )
    elif not senses or (
        nap is Nap.ONE_WAY and rule is not GrainRule.CROSSWISE and 0.0 not in senses
    ):
        yield Finding(
            "nap",
            f"{laid.label}: lies against the nap at {thread:g} degrees; it asks for "
            f"{_said(_ONE_WAY_DEG[rule])} degrees.",
        )


def _said(angles_deg: Sequence[float]) -> str:
    return " or ".join(f"{angle:g}" for angle in angles_deg)


def tie(piece: Piece, nap: Nap) -> Tie:
    """What a piece shares with those that have to lie the same way along a nap as it does."""
    crosswise = piece.grain_rule is GrainRule.CROSSWISE
    return crosswise, "" if nap is Nap.ONE_WAY else piece.garment


def _lying_alike(laid: Sequence[Laid], nap: Nap) -> Mapping[Tie, Sequence[Laid]]:
    """Placements that have to lie the same way along a nap, by what ties them; none without one."""
    groups: dict[Tie, list[Laid]] = defaultdict(list)
    for one in laid if nap is not Nap.NONE else ():
        groups[tie(one.piece, nap)].append(one)
    return groups


def shared_senses(laid: Sequence[Laid], nap: Nap, tilt_deg: float) -> dict[Tie, tuple[float, ...]]:
    """In which senses all that a nap ties to each other may run, by what ties them."""
    return {
        own: tuple(s for s in SENSES_DEG if all(s in _senses(one, nap, tilt_deg) for one in tied))
        for own, tied in _lying_alike(laid, nap).items()
    }


def nap_findings(laid: Sequence[Laid], nap: Nap, tilt_deg: float) -> Iterator[Finding]:
    """Whether all that have to lie the same way along the nap do so, each in itself right."""
    for (crosswise, _), own in _lying_alike(laid, nap).items():
        senses = [(one, _senses(one, nap, tilt_deg)) for one in own]
        first, those = senses[0]
        against = [one for one, its in senses if its != those]
        if against:
            who = "The pieces" if nap is Nap.ONE_WAY else f"The pieces of {_garment(first)}"
            which = " whose grain runs crosswise" if crosswise else ""
            yield Finding(
                "nap",
                f"{who}{which} lie both ways along the nap: {first.label} at "
                f"{thread_deg(first):g} degrees, {against[0].label} at "
                f"{thread_deg(against[0]):g} degrees.",
            )


def _garment(laid: Laid) -> str:
    return laid.piece.garment or "no garment"


def _section(laid: Laid) -> str:
    return laid.placement.section


def parts_of(laid: Laid) -> tuple[Part, ...]:
    """What a cut gives: the layer below shows the mirror image.

    Below a lengthwise fold, or turned end for end, its thread is mirrored about the length;
    below a crosswise fold about the width. Layers that a fold edge joins are one part.
    """
    cloth = laid.cloth
    parts: tuple[Part, ...] = ((laid.placement.mirrored, thread_deg(laid)),)
    if cloth.strip_of(laid.placement).folded and not laid.placement.on_fold:
        parts += tuple((not mirrored, -thread) for mirrored, thread in parts)
    if cloth.ends_together and not lies_across(laid):
        around = 0.0 if cloth.turned else 180.0
        parts += tuple((not mirrored, around - thread) for mirrored, thread in parts)
    return parts


def yield_findings(
    piece: Piece, laid: Sequence[Laid], open_deg: Sequence[float], fabric: Fabric
) -> list[Finding]:
    """Whether each cut of a piece gives the good parts that it states, and no needless spare.

    `open_deg` are the senses that all placements share which a nap ties to it; where they leave
    both open, either will do.
    """
    nap = fabric.nap
    choices: list[tuple[float, ...]] = [SENSES_DEG]
    if nap is not Nap.NONE:
        choices = [(sense,) for sense in open_deg] or choices
    found: list[Finding] = []
    for senses in choices:
        hands = _Hands(piece, fabric, _threads(piece.grain_rule, senses, nap))
        found = [*hands.cut_findings(laid), *hands.pair_findings(laid), *hands.spare_findings(laid)]
        if not found:
            break
    return found


class _Hands:
    """Which parts of cloth serve as a piece, where threads may run in `allowed_deg`."""

    def __init__(self, piece: Piece, fabric: Fabric, allowed_deg: tuple[float, ...]) -> None:
        self.piece, self.allowed_deg = piece, allowed_deg
        # Turned over, what lies along the cloth keeps its nap; across, that points the other way.
        along = fabric.nap is Nap.NONE or piece.grain_rule is GrainRule.LENGTHWISE
        self.alike = along and fabric.faces is Faces.ALIKE
        self.tilt_deg = fabric.tilt_deg

    def serves(self, part: Part, mirrored: bool) -> bool:
        """Whether a part of cloth can be used as the piece as drawn, or as its mirror image."""
        is_mirrored, thread = part
        allowed_deg, off_deg = self.allowed_deg, self.tilt_deg
        if (is_mirrored == mirrored or self.alike) and _among(thread, allowed_deg, off_deg):
            return True
        way = 1 if is_mirrored else -1
        turns = _mirror_turns(self.piece, ALIKE_MM)
        return any(_among(thread + way * turn, allowed_deg, off_deg) for turn in turns)

    def wanted(self, part: Part) -> bool:
        """Whether a part of cloth can be used at all: either hand of a pair can."""
        return self.serves(part, False) or (self.piece.pair and self.serves(part, True))

    def cut_findings(self, laid: Sequence[Laid]) -> Iterator[Finding]:
        for one in laid:
            parts, placement = parts_of(one), one.placement
            good = sum(map(self.wanted, parts))
            # Hands come in twos: four layers give two pairs, of which one may be wanted.
            least = min(good, 2) if self.piece.pair else 1
            if not self.wanted(parts[0]):
                yield Finding(
                    "mirrored",
                    f"{one.label}: lies face down; a single piece is never mirrored on cloth "
                    "whose faces differ.",
                )
            elif not least <= placement.yields <= good:
                yield Finding(
                    "yields",
                    f"{one.label}: states {placement.yields} wanted parts from this cut, which "
                    f"gives {good}.",
                )
            if placement.yields + placement.spare != len(parts):
                yield Finding(
                    "spare",
                    f"{one.label}: states {placement.yields} wanted and {placement.spare} spare "
                    f"parts; the cut gives {len(parts)} in all.",
                )

    def pair_findings(self, laid: Sequence[Laid]) -> Iterator[Finding]:
        """As many mirrored as not, in a pair, apart from whole pairs to spare."""
        if not self.piece.pair:
            return
        parts = [part for one in laid for part in parts_of(one)]
        to_spare = sum(one.placement.spare // 2 for one in laid)
        for mirrored, hand in ((False, "as drawn"), (True, "mirrored")):
            good = [part for part in parts if self.serves(part, mirrored)]
            only = [part for part in good if not self.serves(part, not mirrored)]
            if len(only) > self.piece.cut + to_spare:
                yield Finding(
                    "pair",
                    f"{named(*self.piece.key)}: {len(only)} lie {hand}; {self.piece.cut} of each "
                    "hand are wanted.",
                )

    def spare_findings(self, laid: Sequence[Laid]) -> Iterator[Finding]:
        """Spares beyond those that the fewest cuts leave, in each section by itself."""
        for section, own in groupby(sorted(laid, key=_section), key=_section):
            cuts = [one for one in own if not lies_across(one)]
            if not cuts:
                continue
            spare = sum(one.placement.spare for one in cuts)
            wanted = sum(one.placement.yields for one in cuts)
            least = self._least_spare(cuts[0].cloth, wanted)
            if spare > least:
                yield Finding(
                    "spare",
                    f"{named(*self.piece.key)}: {spare} spare parts; {wanted} cut in {section} "
                    f"leave {least}.",
                )

    def _least_spare(self, cloth: Spread, wanted: int) -> int:
        """None where a single layer is at hand; else what an even number of layers leaves."""
        strip = cloth.strips[0]
        if any(one.layers == 1 for one in cloth.strips):
            return 0
        joined = self.piece.on_fold is not None and strip.folded
        given = strip.layers // (2 if joined else 1)
        good = given if joined or self._both_good_somehow() else given // 2
        return -(-wanted // good) * given - wanted

    def _both_good_somehow(self) -> bool:
        """Whether some allowed way has the layer below give a wanted part too."""
        turns = _mirror_turns(self.piece, SURELY_ALIKE_MM)
        below = (*turns, 0.0) if self.piece.pair else turns
        ways = ((turn, thread) for turn in below for thread in self.allowed_deg)
        return self.alike or any(_among(turn - thread, self.allowed_deg) for turn, thread in ways)
