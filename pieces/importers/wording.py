"""The writing in a drawing, as one line of text that any terminal and page can show."""

from __future__ import annotations

from typing import Any

_LONGEST = 80


def text_of(entity: Any) -> str:
    """What a text of a DXF drawing says; empty if it is no text."""
    kind = entity.dxftype()
    if kind == "MTEXT":
        try:
            return shown(entity.plain_text())
        except Exception:  # damaged codes fail in whatever way the library has
            return shown(entity.text)
    # Codes such as %% for signs are left as they stand: a name is taken word for word.
    return shown(entity.dxf.get("text", "")) if kind == "TEXT" else ""


def shown(text: str) -> str:
    """A text on one line, without unseen signs, cut short.

    >>> shown(" sleeve\\n\\x07 left ")
    'sleeve left'
    """
    # Older files write signs beyond the basic ones as two halves, which are one sign.
    whole = text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    line = " ".join(whole.split())
    return "".join(char for char in line if char.isprintable())[:_LONGEST].strip()
