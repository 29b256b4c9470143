"""Where files go, and which of those that lie there may be replaced."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from pieces.errors import Fault, OutputFault
from pieces.wording import either

MANIFEST = ".metrage-files.json"
"""In a folder, what this program wrote there: for each name the digests of its contents."""
PASSING, PASSING_END = ".metrage-", ".part"
"""How the name of a file begins and ends until all that come with it are there."""

_UNREADABLE = (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError)
"""What reading a manifest ends with that somebody has changed."""

Digests = dict[str, frozenset[str]]
Run = Mapping[str, str]
"""What was written together: for each name the digest of its contents."""


def _ignore(_: Sequence[str]) -> None:
    """Tell nobody."""


@dataclass(frozen=True, slots=True)
class Place:
    """A folder in which nothing is replaced but what this program wrote, and nobody changed.

    With `overwrite` other files are replaced too. `inputs`, the files that the work reads, never
    are. `tell_gone` is told which files were taken away, as they went with others replaced.
    """

    folder: Path
    inputs: tuple[Path, ...] = ()
    overwrite: bool = False
    tell_gone: Callable[[Sequence[str]], None] = _ignore


def require_replaceable(place: Place, names: Iterable[str]) -> None:
    """See that files of these names may be written, whether there are any so called or not.

    A file without anything in it may always be replaced.

    Raises
    ------
    OutputFault : naming all that may not, and what would help
    """
    there = sorted({name for name in names if _is_there(place.folder / name)})
    read = [name for name in there if _is_one_of(place.folder / name, place.inputs)]
    foreign = [] if place.overwrite else _foreign(place.folder, there)
    faults = []
    if read:
        it = "it" if len(read) == 1 else "them"
        message = f"This work reads {_listed(read)}, and its own files would replace {it}."
        remedy = elsewhere("Name another folder with --out.")
        faults.append(Fault(str(place.folder), "", message, remedy))
    if others := [name for name in foreign if name not in read]:
        what, it = ("is not a file", "it") if len(others) == 1 else ("are not files", "them")
        message = f"{_listed(others)} would be replaced, and {what} as metrage wrote {it} here."
        remedy = elsewhere(
            f"Name another folder with --out, or move {it} away; --overwrite replaces {it}."
        )
        faults.append(Fault(str(place.folder), "", message, remedy))
    if faults:
        raise OutputFault(faults)


def own_files(folder: Path) -> set[str]:
    """The names of the files in a folder that are as this program wrote them, or empty."""
    named = known(folder)
    return set(named).difference(_foreign(folder, named))


def known(folder: Path) -> Digests:
    """What this program wrote into a folder, by name; nothing if that can't be read."""
    try:
        files = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))["files"]
        return {name: frozenset(map(str, digests)) for name, digests in files.items()}
    except _UNREADABLE:
        return {}


def runs(folder: Path) -> tuple[Run, ...]:
    """What was written together into a folder, as far as that was noted."""
    try:
        noted = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))["together"]
        return tuple({str(name): str(own) for name, own in run.items()} for run in noted)
    except _UNREADABLE:
        return ()


def run_of(contents: Mapping[str, bytes]) -> Run:
    """What is noted of files that are written together."""
    return {name: digest(data) for name, data in contents.items()}


def left_behind(
    place: Place, contents: Mapping[str, bytes]
) -> tuple[tuple[Run, ...], tuple[str, ...]]:
    """The runs that new files leave as they are, and the names of what goes with the others.

    A run ends once one of its files is replaced by another. What of it was changed since stays,
    and what the work reads.
    """
    new, staying = run_of(contents), list[Run]()
    going: dict[str, str] = {}
    for run in runs(place.folder):
        if any(new.get(name, own) != own for name, own in run.items()):
            going |= run
        elif not set(run) <= set(new):
            staying.append(run)
    kept = {*new, *(name for run in staying for name in run)}
    return tuple(staying), tuple(
        name
        for name, own in going.items()
        if name not in kept
        and is_as_written(place.folder / name, [own])
        and not _is_one_of(place.folder / name, place.inputs)
    )


def manifest(digests: Mapping[str, Iterable[str]], noted: Iterable[Run] = ()) -> bytes:
    """The manifest of a folder, as `known` and `runs` read it."""
    files = {name: sorted(own) for name, own in sorted(digests.items())}
    data = {"files": files, "together": list(noted)}
    return (json.dumps(data, indent=1, ensure_ascii=False) + "\n").encode()


def digest(data: bytes) -> str:
    """What tells contents apart: SHA-256, in hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def is_as_written(path: Path, digests: Iterable[str]) -> bool:
    """Whether a file is there with contents of one of these digests."""
    try:
        return not path.is_symlink() and digest(path.read_bytes()) in digests
    except OSError:
        return False


def elsewhere(remedy: str) -> str:
    """What helps where a folder can't be written; on the page nobody names one."""
    return either(
        remedy,
        "The page draws in this computer's folder for temporary files: make room there, then try "
        "again.",
    )


def fault_of(path: Path, error: OSError) -> OutputFault:
    """Why a file or folder can't be written, in words."""
    reason = error.strerror or str(error)
    message = f"it can't be written: {reason[:1].lower()}{reason[1:]}."
    if isinstance(error, FileExistsError | NotADirectoryError):
        message = "a file is in the way of the folder."
    elif isinstance(error, IsADirectoryError):
        message = "a folder is in the way of the file."
    remedy = elsewhere("Name another folder with --out, or make room for this one.")
    return OutputFault([Fault(str(path), "", message, remedy)])


def _foreign(folder: Path, names: Iterable[str]) -> list[str]:
    """Those of the files there that this program didn't write, or that were changed since."""
    own = known(folder)
    return [
        name
        for name in names
        if not is_as_written(folder / name, own.get(name, ())) and not _is_empty(folder / name)
    ]


def _is_there(path: Path) -> bool:
    """Whether there is a file, or a link that leads nowhere.

    Raises
    ------
    OutputFault : there is a folder
    """
    if path.is_dir():
        raise fault_of(path, IsADirectoryError())
    return path.is_symlink() or path.exists()


def _is_empty(path: Path) -> bool:
    try:
        return not path.is_symlink() and path.stat().st_size == 0
    except OSError:
        return False


def _is_one_of(path: Path, files: Iterable[Path]) -> bool:
    """Whether a file is one of others, by whichever name."""
    return any(one.exists() and path.exists() and path.samefile(one) for one in files)


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
