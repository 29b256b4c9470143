"""A lay's cuts as the solver's whole numbers, and its layouts as markers in millimetres."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import MOST_TILT_DEG, Fabric
from nesting.fabric.lay import Lay
from nesting.fabric.marker import MAIN, Keyed, Marker, Placement
from nesting.packing.corners import same_corners
from nesting.packing.fit import UNITS_PER_MM, Choice, end_keep_mm, up, ways_that_fit, whole
from nesting.packing.obstacles import hindrances
from nesting.prints.lays import Phase as PhaseOnLay
from nesting.prints.lays import phases_on
from nesting.prints.prints import Prints, prints_of
from nesting.rules.ways import directions, is_straight
from nesting.solver.instance import Instance, Item, Layout, Orientation, Phase
from nesting.solver.phases import keeps_phases, levels
from pieces.geometry import oriented, translated
from pieces.piece import Outline

_NEAR = 20
"""Units by which an outline that lay on another lay may miss its range here: rounding."""
_TOUCHING = 5
"""Units by which an outline may be on a flaw and only touch it: rounding."""


def _phase(phase: PhaseOnLay) -> Phase:
    choices = phase.choices_mm
    return Phase(
        phase.axis,
        phase.period_mm * UNITS_PER_MM,
        None if choices is None else tuple(place * UNITS_PER_MM for place in choices),
    )


def _signature(orientations: Sequence[Orientation]) -> tuple[object, ...]:
    return tuple(
        (o.outline.tobytes(), o.x_low, o.x_most, o.x_reach, o.y_ranges, o.direction, o.ties)
        for o in orientations
    )


class Packing:
    """A lay's cuts as an instance for the solver, and layouts turned back into markers.

    Where they are not all that is cut from the cloth, `prints` may tie them to the others;
    `places_mm` are those of its phases, by number, at which the others lie already.
    """

    def __init__(
        self,
        cuts: Sequence[Cut],
        fabric: Fabric,
        lay: Lay,
        prints: Prints | None = None,
        places_mm: Mapping[int, float] | None = None,
    ) -> None:
        self.cuts = tuple(cuts)
        self.fabric = fabric
        self.lay = lay
        own = tuple({cut.piece.key: cut.piece for cut in cuts}.values())
        self.prints = prints_of(own, fabric) if prints is None else prints
        self._ways = [ways_that_fit(cut, fabric, lay, self.prints) for cut in self.cuts]
        obstacles = tuple(whole(flaw) for flaw in hindrances(fabric, lay, self.cuts))
        places = places_mm or {}
        phases = tuple(
            _phase(replace(phase, choices_mm=(places[number],)) if number in places else phase)
            for number, phase in enumerate(phases_on(self.prints, self.cuts, fabric, lay))
        )
        self.instance = Instance(up(lay.depth_mm), self._items(), obstacles, phases)

    @property
    def meets(self) -> bool:
        """Whether the print leaves all pieces that share a phase across the cloth some room."""
        phases = enumerate(zip(self.instance.phases, levels(self.instance), strict=True))
        tied = {phase for own in self._ways for _, way in own for phase, _ in way.ties}
        return all(
            phase.axis == 0 or places for number, (phase, places) in phases if number in tied
        )

    @property
    def has_room(self) -> bool:
        """Whether every cut can lie somewhere across the lay."""
        return all(self._ways)

    def _items(self) -> tuple[Item, ...]:
        kinds: dict[tuple[object, ...], int] = {}
        senses: dict[str | None, set[int]] = defaultdict(set)
        for cut, ways in zip(self.cuts, self._ways, strict=True):
            senses[cut.nap_group].update(orientation.direction for _, orientation in ways)
        # Those that can all lie one way only need not be tied.
        tied = [name for name, both in senses.items() if name is not None and len(both) > 1]
        groups: dict[str | None, int] = {name: number for number, name in enumerate(tied)}
        items = []
        for cut, ways in zip(self.cuts, self._ways, strict=True):
            orientations = tuple(orientation for _, orientation in ways)
            kind = kinds.setdefault(_signature(orientations), len(kinds))
            items.append(Item(kind, orientations, groups.get(cut.nap_group, -1)))
        return tuple(items)

    def ways(self, index: int) -> list[tuple[Choice, Orientation]]:
        """The ways in which a cut may lie, in the order of its item's orientations."""
        return self._ways[index]

    def marker(self, layout: Layout) -> Marker:
        """The layout in millimetres; its length is what its pieces ask for.

        Where the place of a fold was settled by flaws, the cut end may lie past them.
        """
        placements = tuple(self._placement(index, layout) for index in range(len(self.cuts)))
        farthest = max(x for placement in placements for x, _ in placement.outline_mm)
        table_mm = farthest + end_keep_mm(self.lay.far, self.fabric)
        if self.lay.moves_flaws(self.fabric):
            table_mm = max(table_mm, self.lay.begins_mm)
        length_mm = table_mm * self.lay.lengths
        depth_mm = self.lay.fold_depth_mm
        return Marker(self.fabric.name, self.lay.name, length_mm, placements, depth_mm)

    def straight(self, index: int, orientation: int) -> int:
        """The orientation of a cut on the grain from which another was tilted; or that itself."""
        cut, ways = self.cuts[index], self._ways[index]
        (way, sense), _ = ways[orientation]
        turn_deg, hand = cut.orientations[way]
        for number, ((other, its_sense), _) in enumerate(ways):
            its_turn_deg, its_hand = cut.orientations[other]
            off_deg = abs(math.remainder(its_turn_deg - turn_deg, 360.0))
            alike = (its_sense, its_hand) == (sense, hand) and off_deg <= MOST_TILT_DEG
            if alike and is_straight(cut.piece.grain_rule, its_turn_deg):
                return number
        return orientation

    def _placement(self, index: int, layout: Layout) -> Placement:
        cut = self.cuts[index]
        (way, _), _ = self._ways[index][int(layout.orientation[index])]
        turn_deg, is_mirrored = cut.orientations[way]
        x_mm, y_mm = (float(value) / UNITS_PER_MM for value in layout.xy[index])
        outline = translated(oriented(cut.outline_mm, turn_deg, is_mirrored), x_mm, y_mm)
        return Placement(
            garment=cut.piece.garment,
            piece=cut.piece.name,
            copy=cut.copy,
            yields=cut.yields,
            spare=cut.spare,
            layers=cut.layers,
            section=MAIN,
            band=self._band(outline),
            on_fold=cut.on_fold,
            unfolded=cut.unfolded or cut.halved,
            turn_deg=turn_deg,
            mirrored=is_mirrored,
            x_mm=x_mm,
            y_mm=y_mm,
            grain_deg=turn_deg,
            outline_mm=outline,
            in_corner=cut.in_corner,
        )

    def _band(self, outline: Outline) -> int:
        middle = (min(y for _, y in outline) + max(y for _, y in outline)) / 2
        inside = (i for i, b in enumerate(self.lay.bands) if b.low_mm <= middle <= b.high_mm)
        return next(inside, 0)

    def layout_like(self, outlines: Sequence[Keyed], senses: Mapping[str, int]) -> Layout | None:
        """A layout with its cuts where the given outlines lie, each known by its piece's key.

        `senses` are the directions of its nap groups: an outline alone may not tell whether it was
        turned end for end. Those that are missing are what the outlines allow. None if some cut
        finds no outline of its own, or if a flaw lies elsewhere here than there, under one.
        """
        senses = self._senses_like(outlines, senses)
        places: dict[tuple[str, str], list[int]] = defaultdict(list)
        for place, (key, _) in enumerate(outlines):
            places[key].append(place)
        taken: set[int] = set()
        # What no cut of a kind was held against yet: where one does not match, none of them does.
        untried: dict[tuple[object, ...], Iterator[int]] = {}
        orientation = np.zeros(len(self.cuts), dtype=np.int64)
        xy = np.zeros((len(self.cuts), 2), dtype=np.int64)
        for index, cut in enumerate(self.cuts):
            sense = 0 if cut.nap_group is None else senses[cut.nap_group]
            kind = cut.piece.key, self.instance.items[index].kind, sense
            for place in untried.setdefault(kind, iter(places[cut.piece.key])):
                found = None
                if place not in taken:
                    found = self._match(index, outlines[place][1], sense)
                if found is not None:
                    orientation[index], xy[index, 0], xy[index, 1] = found
                    taken.add(place)
                    break
            else:
                return None
        layout = Layout(orientation, xy)
        return layout if self.suits(layout) else None

    def _senses_like(self, outlines: Sequence[Keyed], known: Mapping[str, int]) -> dict[str, int]:
        """The direction of each nap group: the one known, or that in which all its cuts match."""
        members: dict[str, list[int]] = defaultdict(list)
        for index, cut in enumerate(self.cuts):
            if cut.nap_group is not None:
                members[cut.nap_group].append(index)

        def lies(index: int, sense: int) -> bool:
            own = (outline for key, outline in outlines if key == self.cuts[index].piece.key)
            return any(self._match(index, outline, sense) is not None for outline in own)

        def found(own: Sequence[int]) -> int:
            return next((s for s in (0, 1) if all(lies(index, s) for index in own)), 0)

        return {
            group: known[group] if group in known else found(own) for group, own in members.items()
        }

    def suits(self, layout: Layout) -> bool:
        """Whether a layout legal but for flaws and the print keeps clear of those and meets it."""
        from shapely.geometry import Polygon

        if not keeps_phases(self.instance, layout, _NEAR):
            return False
        flaws = [Polygon(flaw) for flaw in self.instance.obstacles]
        ways = zip(self.instance.items, layout.orientation.tolist(), layout.xy, strict=True)
        outlines = (item.orientations[way].outline + xy for item, way, xy in ways if flaws)
        within = (Polygon(outline).buffer(-_TOUCHING) for outline in outlines)
        return not any(shape.intersects(flaw) for shape in within for flaw in flaws)

    def places_mm(self, layout: Layout) -> dict[int, float]:
        """Where the phases of a print lie in a layout, by number: those that cuts are tied to."""
        found = {}
        ways = zip(self._ways, layout.orientation.tolist(), layout.xy.tolist(), strict=True)
        for own, chosen, at in ways:
            for number, offset in own[chosen][1].ties:
                axis = self.instance.phases[number].axis
                found[number] = (at[axis] + offset) / UNITS_PER_MM
        return found

    def senses(self, marker: Marker) -> dict[str, int]:
        """The direction of each nap group in a marker of the same pieces."""
        groups = {cut.piece.key: cut for cut in self.cuts if cut.nap_group is not None}
        found: dict[str, int] = {}
        for placement in marker.placements:
            cut = groups.get((placement.garment, placement.piece))
            if cut is not None and cut.nap_group is not None:
                sides = directions(cut.piece.grain_rule, placement.turn_deg)
                found.update((cut.nap_group, side) for side in sides)
        return found

    def _match(self, index: int, target: Outline, sense: int) -> tuple[int, int, int] | None:
        """The orientation and shift that bring a cut onto an outline, to within rounding."""
        left, low = min(x for x, _ in target), min(y for _, y in target)
        for number, ((way, direction), orientation) in enumerate(self._ways[index]):
            if direction != sense:
                continue
            shape = oriented(self.cuts[index].outline_mm, *self.cuts[index].orientations[way])
            shift = left - min(x for x, _ in shape), low - min(y for _, y in shape)
            if not same_corners(translated(shape, *shift), target):
                continue
            x, y = (round(value * UNITS_PER_MM) for value in shift)
            near = [(a, b) for a, b in orientation.y_ranges if a - _NEAR <= y <= b + _NEAR]
            most = orientation.x_low + _NEAR if orientation.held else x
            if near and orientation.x_low - _NEAR <= x <= most:
                x = orientation.x_low if orientation.held else max(x, orientation.x_low)
                return number, x, min(max(y, near[0][0]), near[0][1])
        return None
