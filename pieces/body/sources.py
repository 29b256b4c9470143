"""Where the numbers of the size tables come from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Source(StrEnum):
    """Where a row of numbers comes from."""

    SURVEY = (
        "2 to 8 years: means computed from the records of the 1977 US survey UM-HSRI-77-17 "
        "(Anthropometry of Infants, Children and Youths to Age 18 for Product Safety Design); "
        "9 to 14 years led on from there, from memory of charts by age"
    )
    SURVEY_GIRLS = "the girls' row, for whoever no own one is tabulated"
    SURVEY_SHOULDER = (
        "half the same survey's breadth across the shoulder bones, less the bodice draft's half "
        "neck, along a slope of 15 degrees; 9 to 14 years from memory"
    )
    GROWTH = (
        "2 to 8 years the same survey; 9 to 14 years medians of the US growth charts (CDC, 2000), "
        "from memory"
    )
    WHO = "medians of the WHO Child Growth Standards (2006), length lying"
    WHO_ARMS = "medians of the same standards from 3 months on; a newborn's from memory"
    INFANTS = (
        "from memory of infants' tables by age, each smoothed so that it meets the survey's mean "
        "at two years"
    )
    INFANT_ARMS = (
        "infants' means of the same federal surveys, shoulder to elbow and elbow to fingertip less "
        "the hand, read off between the tabulated ages; held from 21.5 months to 24; a newborn's "
        "from memory"
    )
    YARN = (
        "standard body measurements of the Craft Yarn Council, sizes 2, 4, 6 and 8; the years "
        "between and from 9 to 14 from memory of US size tables"
    )
    YARN_INFANTS = (
        "standard body measurements of the Craft Yarn Council for 3 to 24 months, from memory; "
        "9 months half way between its 6 and 12; a newborn's from memory"
    )
    YARN_SHOULDER = (
        "half the cross back of the same table less half the neck of the bodice's draft, "
        "chest / 12 + 1/4 in.; a newborn's from memory"
    )
    LABELS_SMALL = (
        "56 to 86 cm: a children's size table by height on a clothing site, the middle of its "
        "ranges (secondary copy); 92 to 122 cm: a European pattern periodical's table (secondary "
        "copy), continued by its own steps to 134 cm; taller ones from memory of European charts"
    )
    LABELS = (
        "92 to 122 cm: a European pattern periodical's table (secondary copy), continued by its "
        "own steps to 134 cm and down to 56 cm; taller ones from memory of European charts"
    )
    LABELS_MEMORY = "from memory of European charts by height"
    MISSES = (
        "standard body measurements of US pattern companies since 1968, misses' 6 to 20 and "
        "women's 38 to 50 (a sewing blog of 2011, secondary copy; from memory alike)"
    )
    MISSES_HEIGHT = "5 ft 5 to 5 ft 6 in., as the same table says of these figures"
    BUSTS = "bust, waist and hip as EN 13402-3 steps them (secondary copies)"
    BUSTS_HEIGHT = "the middle height of German charts of women, from memory"
    WOMEN_LINES = (
        "read off by the bust on straight lines, to 6 mm through a British textbook's chart of "
        "women from 76 to 122 cm (secondary copy)"
    )
    WOMEN_MEMORY = "read off by the bust, from memory of US and German charts, which differ by 1 cm"
    LABEL = (
        "the label itself: European sizes go by height in steps of 6 cm (EN 13402; its age "
        "equivalents from secondary copies)"
    )


@dataclass(frozen=True, slots=True)
class Row:
    """One measure over the ages or sizes, in cm."""

    source: Source
    cm: tuple[float, ...]
