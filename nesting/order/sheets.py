"""What an order may tell of a drawing in PDF, beside the file's name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import BeforeValidator

from nesting.order.faults import in_text
from pieces.errors import BadValue
from pieces.fields import Count, Length, LengthOrZero, Text

if TYPE_CHECKING:
    from pieces.pdf.sheets import Asked

_MEANINGS = ("fold", "cut", "pair", "grain")


def _one_or_more(value: object) -> object:
    return value if isinstance(value, list) else [value]


def _words(value: object) -> object:
    if not isinstance(value, dict) or not value.keys() <= set(_MEANINGS):
        raise BadValue(
            "Words are given each by what it stands for: fold, cut, pair or grain.",
            in_text('Write words = { fold = "pliure", cut = ["couper", "tailler"] }.'),
        )
    return value


Some = Annotated[list[Text], BeforeValidator(_one_or_more)]
"""A text, or several in a list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetKeys:
    """Keys for a PDF; all are absent where its lines and words tell enough.

    `layer` is the layer or the kind of line of the size wanted; `pages` a size of paper or numbers;
    `columns` of sheets stand in a row, each of which repeats the `overlap` of its neighbour; the
    test `square` is to measure so much; `fold` is the side of half pieces that lies on the fold;
    `words` in other languages stand for "fold", "cut", "pair" and "grain".
    """

    layer: Some = field(default_factory=list)
    pages: Text | None = None
    columns: Count | None = None
    overlap: LengthOrZero | None = None
    square: Length | None = None
    fold: Literal["left", "right", "top", "bottom"] | None = None
    words: Annotated[Mapping[str, Some], BeforeValidator(_words)] = field(default_factory=dict)

    def asked(self) -> Asked:
        """The same, as the reader of PDF takes it."""
        from pieces.pdf.sheets import Asked

        return Asked(
            pages=self.pages or "",
            columns=self.columns,
            overlap_mm=self.overlap,
            layers=tuple(self.layer),
            square_mm=self.square,
            fold=self.fold or "",
            words=tuple((meaning, tuple(some)) for meaning, some in self.words.items()),
        )
