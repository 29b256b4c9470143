"""The folder in which metrage keeps what nobody named a place for."""

from __future__ import annotations

import os
import sys
from pathlib import Path

VARIABLE = "METRAGE_DATA"
"""The environment variable that names another folder."""
_NAME = "metrage"


def data_folder() -> Path:
    """The user's folder for it: as the variable says, or where the system keeps such data.

    Linux: XDG Base Directory Specification 0.8, `XDG_DATA_HOME`, which counts only if absolute;
    macOS: Application Support in the library; Windows: the local application data.
    """
    named = os.environ.get(VARIABLE, "")
    if named:
        return Path(named).absolute()
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / _NAME
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / _NAME
    told = Path(os.environ.get("XDG_DATA_HOME", ""))
    return (told if told.is_absolute() else home / ".local" / "share") / _NAME
