"""Plain text for the terminal and for files: headings, paragraphs and tables, 88 columns wide."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence

COLUMNS = 88
_LEAST_COLUMN = 10
HARD_SPACE = "\N{NO-BREAK SPACE}"


def heading(text: str, rule: str) -> str:
    """A line of writing over a rule."""
    wrapped = textwrap.wrap(text, COLUMNS) or [""]
    return "\n".join([*wrapped, rule * max(len(line) for line in wrapped)])


def section(title: str, body: Iterable[str]) -> list[str]:
    """A title over its body, or nothing where there is no body."""
    lines = list(body)
    return ["", heading(title, "-"), *lines] if lines else []


def paragraph(text: str, mark: str = "- ") -> str:
    """A paragraph with a hanging indent; a number keeps its fraction and its unit beside it."""
    kept = kept_together(text)
    indent = " " * len(mark)
    filled = textwrap.fill(
        kept,
        COLUMNS,
        initial_indent=mark,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return filled.replace(HARD_SPACE, " ")


def kept_together(text: str) -> str:
    """The text with hard spaces between a number, its fraction and its unit."""
    return re.sub(r"(?<=\d) (?=\d+/\d|[a-zA-Z%])", HARD_SPACE, text)


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Columns as wide as their longest cell, to the right; the first to the left, wrapped."""
    widths = [max(map(len, column)) for column in zip(head, *rows, strict=True)]
    others = sum(widths[1:]) + 2 * (len(widths) - 1)
    widths[0] = min(widths[0], max(_LEAST_COLUMN, COLUMNS - others))
    lines = []
    for cells in [head, *rows]:
        first, *more = textwrap.wrap(cells[0], widths[0]) or [""]
        pairs = zip(cells[1:], widths[1:], strict=True)
        padded = [cell.rjust(width) for cell, width in pairs]
        lines.append("  ".join([first.ljust(widths[0]), *padded]).rstrip())
        lines += [f"  {line}" for line in more]
    return lines
