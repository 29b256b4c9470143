"""Files set down in a folder: each whole or not at all, and what belongs together together."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from nesting.output.place import (
    MANIFEST,
    PASSING,
    PASSING_END,
    Place,
    Run,
    digest,
    fault_of,
    known,
    left_behind,
    manifest,
    require_replaceable,
    run_of,
    runs,
)


def prepare_folder(folder: Path) -> Path:
    """Make the folder if need be and see that files can be written there.

    Raises
    ------
    OutputFault : if a file is in the way or the folder can't be written
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return folder
    except OSError as error:
        raise fault_of(folder, error) from error


def write_files(folder: str | Path | Place, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into a folder, made if need be; give their paths.

    All are written under passing names first, so that a full disk leaves no file in place. In a
    `Place` they are noted in its manifest, both before and after they get their names: however
    this is cut short, they are known again. What was written there together with a file that is
    now replaced by another goes with it, so that no folder holds drawings of two plans.

    Raises
    ------
    OutputFault : if one can't be written, or another is in its place
    """
    place, target = (folder, folder.folder) if isinstance(folder, Place) else (None, Path(folder))
    where = prepare_folder(target)
    waiting: dict[Path, Path] = {}
    try:
        for name, data in contents.items():
            target = where / name
            if target.is_dir():
                raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
            waiting[target] = _set_aside(where, data)
        if place is not None:
            require_replaceable(place, contents)
            staying, outlived = left_behind(place, contents)
            _note(where, contents, runs(where), or_before=True)
        for target, passing in waiting.items():
            passing.replace(target)
        if place is not None:
            for name in outlived:
                (where / name).unlink(missing_ok=True)
            _note(where, contents, (*staying, run_of(contents)))
            if outlived:
                place.tell_gone(outlived)
    except OSError as error:
        raise fault_of(target, error) from error
    finally:
        for passing in waiting.values():
            passing.unlink(missing_ok=True)
    return tuple(waiting)


def _note(
    folder: Path, contents: Mapping[str, bytes], noted: Sequence[Run], or_before: bool = False
) -> None:
    """Note in the manifest what is written, beside what was before if that may still be there."""
    digests = known(folder)
    for name, data in contents.items():
        before = digests.get(name, frozenset()) if or_before else frozenset()
        digests[name] = before | {digest(data)}
    _set_aside(folder, manifest(digests, noted)).replace(folder / MANIFEST)


def _set_aside(folder: Path, data: bytes) -> Path:
    """The data in a file of the folder under a passing name, written down to the disk."""
    handle, name = tempfile.mkstemp(prefix=PASSING, suffix=PASSING_END, dir=folder)
    passing = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        passing.chmod(0o666 & ~umask())
    except OSError:
        with suppress(OSError):
            passing.unlink()
        raise
    return passing


def umask() -> int:
    """The permissions that this process keeps from its new files."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
