"""A folder held by one program at a time, until it ends, however it ends."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from pieces.errors import Fault, OutputFault

_NAME = ".batch.lock"


@contextmanager
def claimed(folder: Path) -> Iterator[None]:
    """Hold a folder that is there; the system lets go of it when this process ends.

    Raises
    ------
    OutputFault : another process holds it
    """
    with (folder / _NAME).open("ab") as file:
        try:
            lock(file)
        except OSError:
            raise OutputFault(
                [
                    Fault(
                        str(folder),
                        "",
                        "Another batch is at work in this folder.",
                        "Wait until it has ended, or name another folder with --out.",
                    )
                ]
            ) from None
        yield


if sys.platform == "win32":

    def lock(file: IO[bytes]) -> None:
        """Hold an open file until this process ends; OSError where another holds it."""
        import msvcrt

        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)

else:

    def lock(file: IO[bytes]) -> None:
        """Hold an open file until this process ends; OSError where another holds it.

        It is held by this process alone: workers forked from it, which may outlive it, don't.
        """
        import fcntl

        fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
