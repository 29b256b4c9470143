"""Messages and places of an order as one has them who fills in the page's fields."""

from __future__ import annotations

import json
import re

from nesting.page.tasks.channel import Record
from pieces.body.measurements import in_words
from pieces.errors import Fault
from pieces.units import Unit, format_length
from pieces.wording import Form, on_form

_LABELS = {
    "cut": "how many",
    "from_edge": "first motif from the edge",
    "grain_rule": "how the thread runs",
    "pair": "left and right",
    "quantity": "garments alike",
}
"""Fields that the page calls otherwise than by the words of their key."""
_STEP = re.compile(r'([A-Za-z0-9_-]+)|("(?:[^"\\]|\\.)*")|\[(\d+)\]')


def _label(key: str) -> str:
    return _LABELS.get(key) or in_words(key)


_FORM = Form(_label)


def on_the_page(text: str) -> str:
    """A message or a remedy in the words of the page.

    >>> from pieces.wording import choose, key
    >>> on_the_page("Give a shorter " + key("strip_length") + ", or " + choose("waist", "natural"))
    'Give a shorter strip length, or choose “natural” for waist'
    """
    return on_form(text, _FORM)


def on_the_tape(text: str, unit: Unit) -> str:
    """The same, with lengths that were measured on a layout as the dresser's tape has them.

    >>> from pieces.wording import exact
    >>> apart = "They lie " + exact(12.345) + " apart, and " + exact(0.6) + " off."
    >>> on_the_tape(apart, Unit.CM), on_the_tape(apart, Unit.IN)
    ('They lie 1.2 cm apart, and 0.1 cm off.', 'They lie 1/2 in apart, and less than 1/16 in off.')
    """
    # Half a mark is the least that is written as one.
    least_mm, less = (25.4 / 32, "1/16 in") if unit is Unit.IN else (0.5, "1 mm")

    def length(mm: float) -> str:
        return format_length(mm, unit) if mm >= least_mm else f"less than {less}"

    return on_form(text, Form(_label, length))


def fault_data(fault: Fault) -> Record:
    """A fault as the page shows it: at the field of its path, from the top of the order."""
    return {
        "key": fault.key,
        "path": path_of(fault.key),
        "message": on_the_page(fault.message),
        "remedy": on_the_page(fault.remedy),
    }


def path_of(key: str) -> list[str | int]:
    """The steps of a key's path; none for a place in the text.

    >>> path_of('garment[2].part[0].fullness'), path_of('fabric."printed cotton".width')
    (['garment', 2, 'part', 0, 'fullness'], ['fabric', 'printed cotton', 'width'])
    >>> path_of("line 3, column 4")
    []
    """
    if key.startswith("line "):
        return []
    steps: list[str | int] = []
    for bare, quoted, index in _STEP.findall(key):
        steps.append(int(index) if index else json.loads(quoted) if quoted else bare)
    return steps
