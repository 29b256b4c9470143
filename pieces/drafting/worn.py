"""What a whole garment can't be put on or sewn with, as its parts are ordered.

Each finding says what would help, in keys that the part has. Codes stay the same:

    skirt-passes-no-hip     nothing opens, and the top edge is shorter than the hip it is drawn over
    opening-to-leave        a skirt without an opening of its own, which a join must give
    opening-runs-on         the bodice opens, and the waist seam below it would still be too tight
    openings-apart          bodice and skirt open at different places
    waist-passes-no-chest   a bodice without an opening, whose waist seam goes over no chest
    bodice-passes-no-shoulders  or that is too narrow for shoulders and raised arms
    hem-under-stride        a hem that doesn't let its wearer walk
    sleeve-too-tight        a sleeve's hem that no hand, or no arm, goes through
    pocket-without-seam     a pocket in a side seam, and no skirt that has one
    edge-unfinished         a neck, an armhole or a waist that nothing in the order finishes
    edge-finished-twice     a facing and a binding for one edge
    no-seam-allowance       nothing to sew in
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from pieces.drafting.assembly import hosts
from pieces.drafting.context import Half
from pieces.drafting.garment import Cuttings, parts_made
from pieces.drafting.openings import opens_down
from pieces.drafting.spec import GarmentSpec
from pieces.drafting.whole import Whole, has_side_seams, more_seams
from pieces.piece import Finding
from pieces.seams import whole_length
from pieces.wording import Wording, choose, either, key, write

_OVER_SHOULDERS_MM = 30.0
"""What a chest takes more with the arms raised over the head; common practice."""
_EASE_OVER_HIP_MM = 20.0
"""What slips over the hip has so much more; common practice."""
_HAND_MM = 50.0
"""What a wrist must gain for the hand to pass; common practice."""
_STEP = 0.41
"""A walking step over the height; from memory."""
_WAIST_HEIGHT, _LEG = 0.61, 0.53
"""Heights of the waist and of the hip joint over the ground, over the height; from memory."""
_LEAST_SEAM_MM = 3.0
"""The narrowest seam that is sewn, an eighth of an inch; common practice."""


def worn(
    garment: GarmentSpec, cuttings: Cuttings | None = None, *, ready: bool = False
) -> tuple[Finding, ...]:
    """What is found on a garment as a whole; `ready` pieces in it may finish or open it.

    Raises
    ------
    OrderFault : its parts can't be drafted
    """
    whole = _Worn(garment, parts_made(garment, cuttings or {}))
    found = [*whole.openings(), *whole.hems(), *whole.sleeves(), *whole.seams()]
    if not ready:
        found += [*whole.pockets(), *whole.edges()]
    return tuple(found)


_Told = Iterator[Finding]


class _Worn(Whole):
    """A garment that is put on, moved in and sewn."""

    # ---- how it is put on -------------------------------------------------------------------

    def openings(self) -> _Told:
        skirts = self.at_waist()
        bodices = self.where(lambda kind: kind.gives_bodice)
        asked = [i for i in range(len(self.made)) if self.kind(i).gives_waist(self.options(i))]
        yokes = [i for i in asked if i not in bodices]
        if bodices:
            yield from self._below_bodice(bodices[-1], [] if yokes else skirts)
        elif not yokes:
            yield from self._by_itself(skirts)

    def _below_bodice(self, bodice: int, skirts: Sequence[int]) -> _Told:
        body, closing = self.spec.body, self.options(bodice).closing
        seam_mm = self.made[bodice].waist_mm
        if closing == "none":
            yield from self._over_the_head(bodice, seam_mm)
            return
        if seam_mm is None:
            return
        # It goes over the head or up over the hip, whichever is easier.
        least_mm = min(body.chest or math.inf, body.hip or math.inf)
        if least_mm <= seam_mm or least_mm == math.inf:
            return
        seam, over = self.told(seam_mm), self._over()
        place = "centre front" if closing == "front opening" else "centre back"
        below = [i for i in skirts if not hasattr(self.options(i), "opening")]
        apart = [i for i in skirts if i not in below and self._opens(i) not in (None, place)]
        for index in apart:
            yield self.found(
                "openings-apart",
                f"the bodice opens at {place}, {self.name(index)} does not, and the waist seam of "
                f"{seam} between them passes {over}. "
                + choose("opening", place)
                + f" at the {self.spec.parts[index].draft}.",
                index,
                "opening",
            )
        if below:
            yield self.found(
                "opening-runs-on",
                f"the waist seam of {seam} passes {over}, so the opening at {place} must run on "
                f"below it: {self._left_open(below, place)}.",
                below[0],
            )

    def _over_the_head(self, bodice: int, seam_mm: float | None) -> _Told:
        """What opens nowhere goes over the head and the arms raised above it."""
        chest_mm = self.spec.body.chest
        if chest_mm is None:
            return
        draft = self.spec.parts[bodice].draft
        closing = choose("closing", "zip", "buttons") + f" at the {draft}"
        if seam_mm is not None and seam_mm < chest_mm:
            yield self.found(
                "waist-passes-no-chest",
                f"the {draft} has no opening, and its waist seam of {self.told(seam_mm)} passes "
                f"no chest of {self.told(chest_mm)}. " + closing + ".",
                bodice,
                "closing",
            )
            return
        round_mm = 4 * self._half(bodice).edge("armhole").line[0][0]
        least_mm = min(round_mm, seam_mm or round_mm)
        wanted_mm = chest_mm + _OVER_SHOULDERS_MM
        if least_mm < wanted_mm:
            yield self.found(
                "bodice-passes-no-shoulders",
                f"the {draft} has no opening and is {self.told(least_mm)} round where it is "
                f"narrowest, but over the shoulders, arms raised, it takes about "
                f"{self.told(wanted_mm)}. " + closing + ", or give it more ease.",
                bodice,
                "closing",
            )

    def _half(self, bodice: int) -> Half:
        given = self.made[bodice].bodice
        assert given is not None, "a kind that gives a bodice gives one"
        return given.front

    def _by_itself(self, skirts: Sequence[int]) -> _Told:
        hip_mm = self.spec.body.hip
        if hip_mm is None:
            return
        casings = self.where(lambda kind: kind.on_elastic)
        if casings:
            yield from self._on_elastic(casings, skirts, hip_mm)
            return
        tight = [i for i in skirts if self.edge_mm(i) < hip_mm]
        closed = [i for i in tight if self._opens(i) == "none"]
        for index in closed:
            yield self.found(
                "skirt-passes-no-hip",
                f"{self.name(index)} has "
                + either('opening = "none"', "no opening")
                + " and a top edge of "
                f"{self.told(self.edge_mm(index))}, which has to pass a hip of "
                f"{self.told(hip_mm)}. Take opening out, so that it opens behind.",
                index,
                "opening",
            )
        plain = [i for i in tight if not hasattr(self.options(i), "opening")]
        if plain:
            yield self.found(
                "opening-to-leave",
                f"the top edge of {self.told(self.edge_mm(plain[0]))} has to pass a hip of "
                f"{self.told(hip_mm)} and has no opening: {self._left_open(plain)}.",
                plain[0],
            )

    def _on_elastic(self, casings: Sequence[int], skirts: Sequence[int], hip_mm: float) -> _Told:
        wanted_mm = hip_mm + _EASE_OVER_HIP_MM
        hip, wanted = self.told(hip_mm), self.told(wanted_mm)
        for index in casings:
            long_mm = whole_length(self.shell(index), "top")
            if long_mm < hip_mm:
                yield self.found(
                    "skirt-passes-no-hip",
                    f"nothing opens, and the {self.name(index)} of {self.told(long_mm)} stretches "
                    f"to no more, but a hip of {hip} has to pass. "
                    + write("length", wanted)
                    + " at the casing and gather what is sewn to it to that; the elastic draws it "
                    "in.",
                    index,
                    "length",
                )
        for index in skirts:
            part = self.spec.parts[index]
            fuller = self.kind(index).longer_top
            folded = not fuller
            edge_mm = self.edge_mm(index)
            flat_mm = edge_mm if folded else self._top_mm(index)
            if flat_mm >= hip_mm:
                continue
            if folded:
                help_ = "Take the casing out, and leave a join open below the waist for a zip."
            else:
                more = math.ceil(100 * wanted_mm / edge_mm) / 100
                help_ = write(fuller, more, " or more") + f" at the {part.draft}."
                if getattr(part.options, "around", None) is not None:
                    help_ = f"Make the {part.draft} {wanted} or more around."
            yield self.found(
                "skirt-passes-no-hip",
                f"{self.name(index)} hangs on elastic, and its top edge, {self.told(flat_mm)} with "
                f"all that is gathered let out, passes no hip of {hip}. " + help_,
                index,
                fuller,
            )

    def _over(self) -> str:
        """What a waist seam doesn't pass, with a verb's object."""
        named = (("chest", self.spec.body.chest), ("hip", self.spec.body.hip))
        known = [f"{name} of {self.told(mm)}" for name, mm in named if mm is not None]
        return "neither a " + " nor a ".join(known) if len(known) == 2 else f"no {known[0]}"

    def _left_open(self, skirts: Sequence[int], place: str = "") -> str:
        where = f"a join at {place}" if place else "a join"
        named = " and ".join(self.name(index) for index in skirts)
        in_two = [i for i in skirts if sum(piece.parts for piece in self.shell(i)) == 2]
        other = ", the other of two then lies opposite it," if place and in_two else ""
        return (
            f"lay {where} of {named}{other} and leave it open down to its notch, "
            f"{self.told(opens_down(self.spec.body))}, for a zip or a placket, or slit a panel so "
            "far and face the slit"
        )

    def _opens(self, index: int) -> str | None:
        """Where the order has a skirt open; None if it leaves that to the draft, or has no say."""
        given: str | None = getattr(self.options(index), "opening", None)
        return given

    def _top_mm(self, index: int) -> float:
        pieces = self.shell(index)
        names = {seam.name for piece in pieces for seam in piece.seams}
        tops = [name for name in ("waist", "top") if name in names]
        return whole_length(pieces, tops[0]) if tops else math.inf

    # ---- how it is moved in -----------------------------------------------------------------

    def hems(self) -> _Told:
        body, above = self.spec.body, hosts(self.spec.parts)
        reach: dict[int, float] = {}
        for index, made in enumerate(self.made):
            part = self.spec.parts[index]
            if made.long_mm is None or made.hem_mm is None or not self.kind(index).carries:
                continue
            host = above[index]
            start = self._drop_mm(index) if host is None else reach.get(host, 0.0)
            reach[index] = start + made.long_mm
            least_mm = _stride_mm(body.height, body.hip, reach[index])
            if made.hem_mm >= least_mm:
                continue
            wider = self.kind(index).wider_hem
            more = "Give more " + key(wider)
            if wider == "circle":
                more = Wording("Give a larger part of a circle")
            yield self.found(
                "hem-under-stride",
                f"the hem of {self.name(index)} is {self.told(made.hem_mm)} round, and to walk in "
                f"it takes about {self.told(least_mm)} so far down. "
                + more
                + f" at the {part.draft}, or leave a slit in a seam.",
                index,
                wider,
            )

    def _drop_mm(self, index: int) -> float:
        given = [made for made in self.made[:index] if made.waist_mm is not None]
        return given[-1].waist_drop_mm if given else 0.0

    def sleeves(self) -> _Told:
        body = self.spec.body
        for index in self.where(lambda kind: kind.carries == "sleeve"):
            hem_mm = self.made[index].hem_mm or 0.0
            at_wrist = getattr(self.options(index), "style", "long") == "long"
            arm_mm = body.wrist if at_wrist else body.upper_arm
            least_mm = 0.0 if arm_mm is None else arm_mm + (_HAND_MM if at_wrist else 0.0)
            if hem_mm >= least_mm - 0.05:
                continue
            what = "the hand that has to pass it takes" if at_wrist else "the arm in it is"
            yield self.found(
                "sleeve-too-tight",
                f"the hem of the {self.name(index)} is {self.told(hem_mm)} round, but {what} "
                f"{self.told(least_mm)}. "
                + write("hem_width", self.told(least_mm + 10), " or more", verb="give")
                + " at the sleeve.",
                index,
                "hem_width",
            )

    # ---- how it is sewn ---------------------------------------------------------------------

    def pockets(self) -> _Told:
        whole = self.where(lambda kind: kind.is_skirt or kind.tiered)
        skirts = [i for i in whole if self.shell(i)]
        if any(has_side_seams(self.shell(index)) for index in skirts):
            return
        for index in range(len(self.made)):
            if not self.kind(index).side_opening(self.options(index), self.spec.body):
                continue
            ways = [more_seams(self.spec.parts[i], self.shell(i)) for i in skirts[:1]]
            names = " and ".join(self.name(i) for i in skirts) or "no skirt at all"
            yield self.found(
                "pocket-without-seam",
                f"a {self.name(index)} is sewn into a side seam, and there is none in {names}. "
                + Wording(" ").join(
                    [choose("style", "patch") + " at the pocket.", *filter(None, ways)]
                ),
                index,
                "style",
            )

    def edges(self) -> _Told:
        for bodice in self.where(lambda kind: kind.gives_bodice):
            for edge in ("neck", "armhole"):
                yield from self._edge(edge, bodice)
        asked = range(len(self.made))
        bare = [i for i in asked if self.kind(i).waist_to_finish(self.options(i))]
        if (self.at_waist() or bare) and not self.finishing("waist"):
            yield self.found(
                "edge-unfinished",
                "nothing in the order finishes the waist. "
                + either(
                    'Add a part with draft = "waistband", or "casing" for elastic.',
                    "Add a waistband, or a casing for elastic.",
                ),
                None,
            )

    def _edge(self, edge: str, bodice: int) -> _Told:
        upper = self.spec.parts[bodice]
        found = self.finishing(edge)
        covers = [i for i in found if self.kind(i).covers_edge]
        covers = [i for i in covers if getattr(self.options(i), "length", None) is None]
        drafts = list(dict.fromkeys(self.spec.parts[i].draft for i in covers))
        if len(drafts) > 1:
            yield self.found(
                "edge-finished-twice",
                f"the {edge} has both a {' and a '.join(drafts)}. One of them finishes it: take "
                "the other out.",
                covers[0],
            )
        if found or upper.lining is not None:
            return
        what = "neck" if edge == "neck" else "armholes"
        yield self.found(
            "edge-unfinished",
            f"nothing in the order finishes the {what}. "
            + either(
                f'Add a part with draft = "facing" or "bias binding" and edge = "{edge}"',
                f"Add a facing or a bias binding and choose “{edge}” for its edge",
            )
            + f", or give the {upper.draft} a lining.",
            bodice,
        )

    def seams(self) -> _Told:
        asked = self.spec.parts
        bare = [part for part in asked if part.seam_allowance_mm < _LEAST_SEAM_MM]
        if bare:
            named = ", ".join(dict.fromkeys(part.draft for part in bare))
            yield self.found(
                "no-seam-allowance",
                f"with a seam allowance of {self.told(bare[0].seam_allowance_mm)} nothing is left "
                f"to sew in ({named}). Give "
                + key("seam_allowance")
                + ", unless you add it as you cut.",
                asked.index(bare[0]),
                "seam_allowance",
            )


def _stride_mm(height_mm: float | None, hip_mm: float | None, reach_mm: float) -> float:
    """The least round of a hem so far below the waist: the hip, and the legs of one step.

    The feet are a step apart, the legs at the hem less by its height below the hip joint; round
    both it is twice that, and half the hip.
    """
    hip = hip_mm or 0.0
    if height_mm is None:
        return hip
    up_mm = max(0.0, _WAIST_HEIGHT * height_mm - reach_mm)
    apart_mm = _STEP * height_mm * max(0.0, 1 - up_mm / (_LEG * height_mm))
    return max(hip, 2 * apart_mm + hip / 2)
