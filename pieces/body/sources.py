"""Where the numbers of the size tables come from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Source(StrEnum):
    """Where a row of numbers comes from."""

    SURVEY = (
        "means computed from the records of the 1977 US survey UM-HSRI-77-17 "
        "(Anthropometry of Infants, Children and Youths to Age 18 for Product Safety Design)"
    )
    SURVEY_GIRLS = "the girls' means of the same survey, for whoever no own ones are tabulated"
    SURVEY_INFANTS = (
        "infants' means of the same federal surveys, shoulder to elbow and elbow to fingertip less "
        "the hand, read off between the tabulated ages; held from 21.5 months to 24"
    )
    WHO = "medians of the WHO Child Growth Standards (2006), length lying"
    YARN = (
        "standard body measurements of the Craft Yarn Council, sizes 2, 4, 6 and 8; "
        "the years between from memory of US size tables"
    )
    YARN_INFANTS = (
        "standard body measurements of the Craft Yarn Council for 3 to 24 months, from memory; "
        "9 months half way between its 6 and 12"
    )
    YARN_SHOULDER = (
        "half the cross back of the same table less half the neck of the bodice's draft, "
        "chest / 12 + 1/4 in."
    )
    PERIODICAL = (
        "a European pattern periodical's table by height, 92 cm for 2 years to 122 cm for 7 "
        "(secondary copy); continued by its own steps to 134 cm"
    )
    LABEL = (
        "the label itself: European sizes go by height in steps of 6 cm (EN 13402; its age "
        "equivalents from secondary copies)"
    )


@dataclass(frozen=True, slots=True)
class Row:
    """One measure over the ages or sizes, in cm."""

    source: Source
    cm: tuple[float, ...]
