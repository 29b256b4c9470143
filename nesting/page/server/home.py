"""Temporary folders of the page's program; those that a killed one left behind go at the next."""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path

from nesting.output.claim import lock

_PREFIX = "metrage-page-"
_HELD = ".held"
"""A file in the folder that its program holds for as long as it runs."""


class Home:
    """A folder for this program, made after those of programs that are gone are taken away."""

    def __init__(self) -> None:
        _clear()
        self.path = Path(tempfile.mkdtemp(prefix=f"{_PREFIX}{os.getpid()}-"))
        self._held = (self.path / _HELD).open("ab")
        lock(self._held)

    def close(self) -> None:
        """Take it away, with all that is in it."""
        self._held.close()
        shutil.rmtree(self.path, ignore_errors=True)


def _clear() -> None:
    """Take away folders of metrage whose program has ended without doing so."""
    own = f"{_PREFIX}{os.getpid()}-"
    for found in os.scandir(tempfile.gettempdir()):
        # A second look at a folder of this very program would give up its hold.
        if not found.name.startswith(_PREFIX) or found.name.startswith(own):
            continue
        if found.is_dir(follow_symlinks=False) and _is_ours(found) and _is_left(Path(found.path)):
            shutil.rmtree(found.path, ignore_errors=True)


def _is_ours(found: os.DirEntry[str]) -> bool:
    """Whether it is of whoever runs this."""
    return not hasattr(os, "getuid") or found.stat(follow_symlinks=False).st_uid == os.getuid()


def _is_left(folder: Path) -> bool:
    """Whether a program has held it and does so no more."""
    try:
        with (folder / _HELD).open("r+b") as file:
            lock(file)
    except OSError:
        return False
    return True
