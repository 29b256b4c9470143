"""A folder held by one program at a time, until it ends, however it ends."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from nesting.output.place import elsewhere, fault_of
from pieces.errors import Fault, OutputFault

_NAME = ".metrage.lock"
_HELD = {errno.EACCES, errno.EAGAIN, errno.EDEADLK}
"""What the system says of a lock that another process has."""


@contextmanager
def claimed(folder: Path) -> Iterator[None]:
    """Hold a folder that is there; the system lets go of it when this process ends.

    Raises
    ------
    OutputFault : another process holds it, or the system can't tell
    """
    path = folder / _NAME
    file = _held(folder, path)
    try:
        yield
    finally:
        # Gone while it is held, so that nobody holds a file that is no longer there.
        with suppress(OSError):
            path.unlink()
        file.close()


def _held(folder: Path, path: Path) -> IO[bytes]:
    """The open file that holds the folder as long as it is open."""
    try:
        while True:
            file = path.open("ab")
            try:
                lock(file)
                if _is_at(path, file):
                    return file
            except BaseException:
                file.close()
                raise
            file.close()
    except OSError as error:
        if error.errno not in _HELD:
            raise fault_of(path, error) from error
    message = "metrage is already at work in this folder."
    remedy = elsewhere("Wait until it has ended, or name another folder with --out.")
    raise OutputFault([Fault(str(folder), "", message, remedy)])


def _is_at(path: Path, file: IO[bytes]) -> bool:
    """Whether a file is still there under its name: whoever held it before took it away."""
    try:
        return os.path.samestat(path.stat(), os.fstat(file.fileno()))
    except FileNotFoundError:
        return False


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
