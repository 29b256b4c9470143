"""What the writing on a piece says: its name, how many, on the fold, along the grain."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from pieces.pdf.pages import Words

MEANINGS: Mapping[str, tuple[str, ...]] = {
    "fold": ("fold",),
    "cut": ("cut",),
    "pair": ("pair", "pairs", "mirrored", "left and right", "1 left", "1 right", "reversed"),
    "grain": ("grain", "grainline", "grain line", "straight of grain", "thread line"),
    "size": ("size", "sizes"),
}
"""Words of the trade for what a piece may say; an order may add to each (but to "size")."""
_COUNTS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "eight": 8}
_MOST = 500
_LEAST_LETTERS = 2


@dataclass(frozen=True, slots=True)
class Said:
    """What the writing in one outline says.

    `count` is None where none is written, `pairs` where no number of pairs is; `folds` are the
    texts that speak of a fold.
    """

    name: str
    count: int | None
    counted_by: str
    pair: bool
    pairs: int | None
    folds: tuple[Words, ...]
    grains: tuple[Words, ...]


class Vocabulary:
    """The words for each meaning, those of an order too."""

    def __init__(self, more: Iterable[tuple[str, tuple[str, ...]]] = ()) -> None:
        words = {meaning: list(known) for meaning, known in MEANINGS.items()}
        for meaning, own in more:
            words.setdefault(meaning, []).extend(own)
        self._by_meaning = {meaning: _any_of(known) for meaning, known in words.items()}
        cut = "|".join(re.escape(word) for word in words["cut"])
        number = "|".join(["[0-9]{1,3}", *_COUNTS])
        self._pairs = re.compile(rf"(?<!\w)(?P<count>{number})\s+pairs?(?!\w)", re.IGNORECASE)
        self._count = re.compile(
            rf"(?<!\w)(?:(?:{cut})\W{{0,3}}(?P<after>{number})|(?P<before>{number})\s*(?:x|×|\W)?\s*"
            rf"(?:{cut}))(?!\w)",
            re.IGNORECASE,
        )

    def speaks_of(self, meaning: str, text: str) -> bool:
        """Whether a text has one of the words for a meaning."""
        return self._by_meaning[meaning].search(text) is not None

    def count_in(self, text: str) -> int | None:
        """How many to cut, if a text says so.

        >>> Vocabulary().count_in("Cut 2 on fold"), Vocabulary().count_in("cut two")
        (2, 2)
        """
        found = self._count.search(text)
        return None if found is None else _number(found["after"] or found["before"])

    def pairs_in(self, text: str) -> int | None:
        """How many pairs to cut, if a text says so.

        >>> Vocabulary().pairs_in("cut 2 pairs"), Vocabulary().pairs_in("cut 2")
        (2, None)
        """
        found = self._pairs.search(text)
        return None if found is None else _number(found["count"])

    def read(self, words: Sequence[Words]) -> Said:
        """What the texts in one outline say."""
        count, by = None, ""
        for said in words:
            found = self.count_in(said.text)
            if found is not None and count is None:
                count, by = found, said.text
        return Said(
            name=self._name(words),
            count=count,
            counted_by=by,
            pairs=next(filter(None, (self.pairs_in(said.text) for said in words)), None),
            pair=any(self.speaks_of("pair", said.text) for said in words),
            folds=tuple(said for said in words if self.speaks_of("fold", said.text)),
            grains=tuple(said for said in words if self.speaks_of("grain", said.text)),
        )

    def _name(self, words: Sequence[Words]) -> str:
        """The largest text that says nothing else; of equal ones the uppermost."""
        others = [
            said
            for said in words
            if sum(letter.isalpha() for letter in said.text) >= _LEAST_LETTERS
            and not any(self.speaks_of(meaning, said.text) for meaning in self._by_meaning)
            and self.count_in(said.text) is None
        ]
        if not others:
            return ""
        largest = max(said.high_mm for said in others)
        first = max(
            (said for said in others if said.high_mm >= 0.95 * largest), key=lambda said: said.at[1]
        )
        return first.text


def _number(text: str) -> int | None:
    count = _COUNTS.get(text.lower()) or int(text)
    return count if 1 <= count <= _MOST else None


def _any_of(words: Iterable[str]) -> re.Pattern[str]:
    parts = "|".join(re.escape(word).replace(r"\ ", r"\s+") for word in words)
    return re.compile(rf"(?<!\w)(?:{parts})(?!\w)", re.IGNORECASE)
