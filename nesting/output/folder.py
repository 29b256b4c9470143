"""A folder of files that is there whole or not at all."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Collection, Mapping
from pathlib import Path

from nesting.output.write import fault_of, umask
from pieces.errors import Fault, OutputFault

_COMING, _GOING = ".batch-new-", ".batch-old-"
"""Where a folder lies until all its files are there, and where while another takes its name."""


def put_in_place(
    folder: Path, contents: Mapping[str, bytes], mark: str, ours: Collection[str]
) -> None:
    """Write files into a new folder and give it its name once all are there.

    A folder of that name is replaced if it bears the `mark`, a file that is in all of them; what
    is in it but for those called as `ours` is kept.

    Raises
    ------
    OutputFault : it can't be written, or something else of that name is in the way
    """
    require_free(folder, mark)
    passing: list[Path] = []
    try:
        new = _place(passing, _COMING, folder.parent)
        if folder.exists():
            shutil.copytree(
                folder, new, ignore=lambda where, _: ours if where == str(folder) else (),
                dirs_exist_ok=True,
            )  # fmt: skip
        for name, data in contents.items():
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


def require_free(folder: Path, mark: str) -> None:
    """See that nothing is in the way of a folder but one like it, which bears the mark.

    Raises
    ------
    OutputFault : something is
    """
    if os.path.lexists(folder) and not (folder / mark).is_file():
        message = "something else of this name is in the way."
        remedy = "Give it another name, or name another folder with --out."
        raise OutputFault([Fault(str(folder), "", message, remedy)])


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
