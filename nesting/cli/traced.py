"""What `metrage trace` does with photographs and with drawings that were made of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from nesting.output.files.traced import NamedLines, kept_svg, over_photograph, traced_svg
from nesting.output.paper.trace_sheet import LINE_MM
from nesting.output.write import distinct_names
from pieces.errors import Fault, OrderFault, OutputFault
from pieces.geometry import bounds
from pieces.importers.gathering import Gathering
from pieces.importers.outlines import named_apart
from pieces.importers.svg import read_svg
from pieces.piece import Draft, Piece
from pieces.ready import read_with
from pieces.trace.marked import Marks
from pieces.trace.marking import Told, lines_of, told
from pieces.trace.tracing import Traced, Tracing, trace, trace_joined
from pieces.units import Unit, format_length, parse_length

_DRAWING = ".svg"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is asked for beside the photographs; see the command's options."""

    measured: str | None
    join: bool
    whole: bool
    names: str | None
    marks: tuple[str, ...]
    keep: Path | None
    size: str
    cloth: str


@dataclass(frozen=True, slots=True)
class _Kept:
    """A piece to keep, its size, and whether its grain was drawn or told, not assumed."""

    piece: Piece
    size: str
    grain: bool


class Tracer:
    """Photographs, and drawings made of them, with what is asked for.

    Raises
    ------
    OrderFault : what is asked for wrongly
    """

    def __init__(self, paths: Sequence[Path], wanted: Wanted) -> None:
        self._wanted = wanted
        self._drawings = [path for path in paths if path.suffix.lower() == _DRAWING]
        photos = [path for path in paths if path not in self._drawings]
        together = wanted.join and len(photos) > 1
        self._groups = [photos] if together else [[path] for path in photos]
        stems = named_apart(group[0].stem for group in self._groups)
        self._stems = dict(zip(map(tuple, self._groups), stems, strict=True))
        self._scale = _scale(wanted.measured)
        self._marks = _marks(wanted.marks)
        self._names = [name.strip() for name in (wanted.names or "").split(",") if name.strip()]
        self._kept: list[_Kept] = []

    def files(self) -> list[str]:
        """The names of the files that come of the photographs."""
        ends = (_DRAWING, "-over-photo.png")
        return [f"{stem}{end}" for stem in self._stems.values() for end in ends]

    def contents(self, tell: Callable[[str], None]) -> dict[str, bytes]:
        """The files of all photographs; all faults at once, and then none is written.

        Raises
        ------
        OrderFault : with what is wrong with each
        """
        found: list[tuple[str, Tracing]] = []
        faults: list[Fault] = []
        read: list[tuple[Gathering, Draft]] = []
        for group, stem in self._stems.items():
            try:
                found.append((stem, self._traced(group)))
            except OrderFault as error:
                faults += error.faults
        for path in self._drawings:
            try:
                gathering = Gathering(path, marks=Marks(self._marks))
                read.append((gathering, read_with(gathering)))
            except OrderFault as error:
                faults += error.faults
        if faults:
            raise OrderFault(faults)
        self._refuse_unknown(found, read)
        return self._written(found, tell) | self._edited(read, tell)

    def _refuse_unknown(
        self, found: Sequence[tuple[str, Tracing]], read: Sequence[tuple[Gathering, Draft]]
    ) -> None:
        names = self._called(sum(len(tracing.pieces) for _, tracing in found))
        names += [piece.name for _, draft in read for piece in draft.pieces]
        unknown = [one.piece for one in self._marks if one.piece not in names]
        if unknown:
            there = f"There is no piece called '{unknown[0]}'. There is {', '.join(names)}."
            raise _marked_wrongly(there)

    def _traced(self, group: Sequence[Path]) -> Tracing:
        fold = not self._wanted.whole
        if len(group) > 1:
            return trace_joined(group, self._scale, fold=fold)
        return trace(group[0], self._scale, fold=fold)

    def _written(
        self, found: Sequence[tuple[str, Tracing]], tell: Callable[[str], None]
    ) -> dict[str, bytes]:
        names = self._called(sum(len(tracing.pieces) for _, tracing in found))
        contents: dict[str, bytes] = {}
        size, cloth = self._wanted.size.strip(), self._wanted.cloth.strip()
        for stem, tracing in found:
            own, names = names[: len(tracing.pieces)], names[len(tracing.pieces) :]
            lines = self._lines(tracing, own)
            drawing = traced_svg(tracing, own, lines, size, cloth)
            contents[f"{stem}{_DRAWING}"] = drawing
            contents[f"{stem}-over-photo.png"] = over_photograph(tracing, own, lines)
            gathering = Gathering(Path(f"{stem}{_DRAWING}"))
            draft = read_svg(drawing, gathering)
            tell(f"{stem}: {len(own)} found.")
            for read, piece in zip(draft.pieces, tracing.pieces, strict=True):
                tell(f"  {read.name}: {_size(read)}, within {piece.within_mm:.1f} mm")
                if piece.fold is not None:
                    tell(_mirrored(piece))
            self._take(gathering, draft, tell)
        if found:
            tell("Look at the picture with the outlines drawn over it before you cut.")
        return contents

    def _edited(
        self, read: Sequence[tuple[Gathering, Draft]], tell: Callable[[str], None]
    ) -> dict[str, bytes]:
        for gathering, draft in read:
            tell(f"{gathering.path.name}: {len(draft.pieces)} read.")
            for piece in draft.pieces:
                size = gathering.sizes.get(piece.name)
                told = f", {size}" if size else ""
                tell(f"  {piece.name}{told}: {_size(piece)}{_marked(piece)}")
            self._take(gathering, draft, tell)
        return {}

    def _take(self, gathering: Gathering, draft: Draft, tell: Callable[[str], None]) -> None:
        """Keep the pieces of one drawing in mind, and tell what was found in it."""
        for piece in draft.pieces:
            size = self._wanted.size.strip() or gathering.sizes.get(piece.name, "")
            grain = piece.name not in gathering.grainless or gathering.tells_grain(piece.name)
            self._kept.append(_Kept(piece, size, grain))
            if not grain and piece.on_fold is None:
                tell(f'  Tell the grain of {piece.name}, as --mark "{piece.name}: grain 1-2".')
        for finding in draft.findings:
            tell("  " + finding.message)

    def _called(self, count: int) -> list[str]:
        if not self._names:
            return [f"piece-{number}" for number in range(1, count + 1)]
        if len(self._names) != count:
            told = f"{len(self._names)} names for {count} pieces."
            remedy = "Name each piece, from left to right, photograph by photograph."
            raise OrderFault([Fault("--names", "", told, remedy)])
        return named_apart(self._names)

    def _lines(self, tracing: Tracing, names: Sequence[str]) -> NamedLines:
        marks = [one for one in self._marks if one.piece in names]
        try:
            return lines_of(tracing.pieces, names, marks)
        except ValueError as error:
            raise _marked_wrongly(str(error)) from error

    def kept(self, *, overwrite: bool) -> dict[str, bytes]:
        """The files of the pieces to keep.

        Raises
        ------
        OutputFault : another piece of that name is kept there
        """
        folder, cloth = self._wanted.keep, self._wanted.cloth.strip()
        if folder is None:
            return {}
        called = named_apart(", ".join(filter(None, (o.piece.name, o.size))) for o in self._kept)
        names = distinct_names(called, endings=(_DRAWING,))
        files = {
            f"{names[name]}{_DRAWING}": kept_svg(
                _of_cloth(one.piece, cloth), one.size, grain=one.grain
            )
            for name, one in zip(called, self._kept, strict=True)
        }
        there = [name for name in files if (folder / name).exists()]
        changed = [name for name in there if (folder / name).read_bytes() != files[name]]
        if changed and not overwrite:
            told = f"Another piece is kept there as {', '.join(changed)}."
            remedy = "Give --names or --size, or another folder; --overwrite replaces it."
            raise OutputFault([Fault(str(folder), "", told, remedy)])
        return files


def _marked_wrongly(message: str) -> OrderFault:
    return OrderFault([Fault("--mark", "", message)])


def _of_cloth(piece: Piece, cloth: str) -> Piece:
    return replace(piece, fabric=cloth) if cloth else piece


def _size(piece: Piece) -> str:
    left, low, right, high = bounds(piece.outline)
    along, across = format_length(right - left, Unit.CM), format_length(high - low, Unit.CM)
    return f"{along} along the grain, {across} across"


def _mirrored(piece: Traced) -> str:
    return (
        f"    Its halves mirror each other within {piece.halves_mm:.1f} mm, so one half is drawn, "
        "with its middle on the fold; --whole leaves it whole."
    )


def _marked(piece: Piece) -> str:
    """What is drawn by a piece."""
    found = ["on the fold"] if piece.on_fold is not None else []
    if piece.notches:
        found.append(f"{len(piece.notches)} notch{'es' if len(piece.notches) > 1 else ''}")
    found += [f"seam {seam.name}" for seam in piece.seams]
    return f", {', '.join(found)}" if found else ""


def _marks(texts: Sequence[str]) -> list[Told]:
    found, faults = [], []
    for text in texts:
        try:
            found.append(told(text))
        except ValueError as error:
            faults.append(Fault("--mark", "", str(error)))
    if faults:
        raise OrderFault(faults)
    return found


def _scale(measured: str | None) -> float:
    """How much larger the sheet was printed than drawn, by its line."""
    if measured is None:
        return 1.0
    try:
        scale = parse_length(measured, Unit.MM) / LINE_MM
    except ValueError as error:
        raise OrderFault([Fault("--measured", "", str(error))]) from error
    if not 0.9 <= scale <= 1.1:
        message = f"A line of {measured} is far from the 150 mm that were drawn."
        remedy = "Print the sheet at 100 %, and give what its line measures, with the unit."
        raise OrderFault([Fault("--measured", "", message, remedy)])
    return scale
