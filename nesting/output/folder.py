"""A folder held while files are made for it; a folder that is there whole or not at all."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from nesting.output.claim import claimed
from nesting.output.place import (
    MANIFEST,
    PASSING,
    PASSING_END,
    Place,
    elsewhere,
    fault_of,
    manifest,
    own_files,
    require_replaceable,
    run_of,
)
from nesting.output.written import prepare_folder, umask
from pieces.errors import Fault, OutputFault

_COMING, _GOING = ".batch-new-", ".batch-old-"
"""Where a folder lies until all its files are there, and where while another takes its name."""


@contextmanager
def held(place: Place, names: Iterable[str]) -> Iterator[Place]:
    """Hold a folder for files of these names, before the work that makes them begins.

    It is made if need be, and not left behind if nothing was written there.

    Raises
    ------
    OutputFault : it can't be written, something may not be replaced, others are at work there
    """
    new = [path for path in (place.folder, *place.folder.parents) if not path.exists()]
    try:
        prepare_folder(place.folder)
        with claimed(place.folder):
            sweep(place.folder)
            require_replaceable(place, names)
            yield place
    finally:
        for path in new:
            with suppress(OSError):
                path.rmdir()


def put_in_place(place: Place, contents: Mapping[str, bytes], mark: str) -> None:
    """Write files into a new folder and give it its name once all are there.

    A folder of that name is replaced if it bears the `mark`, a file that is in all of them; what
    is in it but for this program's own files, unchanged, is kept.

    Raises
    ------
    OutputFault : it can't be written, or something else of that name is in the way
    """
    folder = place.folder
    require_free(place, contents, mark)
    passing: list[Path] = []
    try:
        new = _place(passing, _COMING, folder.parent)
        if folder.exists():
            kept = {path.resolve() for path in place.inputs}
            ours = {name for name in own_files(folder) if (folder / name).resolve() not in kept}
            shutil.copytree(
                folder, new, ignore=lambda where, _: ours if where == str(folder) else (),
                symlinks=True, dirs_exist_ok=True,
            )  # fmt: skip
        run = run_of(contents)
        noted = manifest({name: [own] for name, own in run.items()}, [run])
        for name, data in {**contents, MANIFEST: noted}.items():
            _write(new / name, data)
        new.chmod(0o777 & ~umask())
        if folder.exists():
            folder.rename(_place(passing, _GOING, folder.parent) / folder.name)
        new.rename(folder)
    except OSError as error:
        raise fault_of(folder, error) from error
    finally:
        for path in passing:
            shutil.rmtree(path, ignore_errors=True)


def require_free(place: Place, names: Iterable[str], mark: str) -> None:
    """See that nothing is in the way of a folder but one like it, which bears the mark.

    Nor, in that one, any file of these names but this program's own; the mark is always that.

    Raises
    ------
    OutputFault : something is
    """
    folder = place.folder
    if os.path.lexists(folder) and not (folder / mark).is_file():
        message = "something else of this name is in the way."
        remedy = elsewhere("Give it another name, or name another folder with --out.")
        raise OutputFault([Fault(str(folder), "", message, remedy)])
    require_replaceable(place, (name for name in names if name != mark))


def _write(path: Path, data: bytes) -> None:
    """Write a file down to the disk: no power cut may leave it empty beside the mark."""
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _place(passing: list[Path], prefix: str, parent: Path) -> Path:
    passing.append(Path(tempfile.mkdtemp(prefix=prefix, dir=parent)))
    return passing[-1]


def sweep(parent: Path) -> None:
    """Clear away what a program that was killed left; a folder is put back if none replaced it."""
    for path in [*parent.glob(f"{_GOING}*"), *parent.glob(f"{_COMING}*")]:
        if path.name.startswith(_GOING):
            for folder in path.iterdir():
                if not (parent / folder.name).exists():
                    folder.rename(parent / folder.name)
        shutil.rmtree(path, ignore_errors=True)
    for path in parent.glob(f"{PASSING}*{PASSING_END}"):
        path.unlink(missing_ok=True)
