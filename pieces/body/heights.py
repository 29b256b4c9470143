"""The size table by height: European labels from 62 to 134 cm, the same for girls and boys.

A label stands for the height that it names. Under 92 cm the periodical's table has no rows: the
infants' measures of the equivalent age stand in. No table here has a newborn's measures.
"""

from __future__ import annotations

from pieces.body.infants import INFANT_GIRLS, MONTHS
from pieces.body.sources import Row, Source

INFANT_LABELS = {62: 3, 68: 6, 74: 9, 80: 12, 86: 18}
"""Age equivalents in months of the labels under 92 cm (secondary copies)."""
LABELS = (92, 98, 104, 110, 116, 122, 128, 134)
"""For 2 to 9 years; a year adds about 6 cm (secondary copies)."""

HEIGHTS = {
    "height": Row(Source.LABEL, tuple(float(label) for label in LABELS)),
    "chest": Row(Source.PERIODICAL, (54.0, 56.0, 58.0, 60.0, 62.0, 64.0, 66.0, 68.0)),
    "waist": Row(Source.PERIODICAL, (53.0, 54.0, 55.0, 56.0, 57.0, 58.0, 59.0, 60.0)),
    "hip": Row(Source.PERIODICAL, (58.0, 60.0, 62.0, 64.0, 66.0, 68.0, 70.0, 72.0)),
    "back_waist": Row(Source.PERIODICAL, (22.5, 24.0, 25.0, 26.5, 28.0, 29.5, 31.0, 32.5)),
    "arm": Row(Source.PERIODICAL, (32.0, 34.0, 36.0, 38.0, 40.0, 42.0, 44.0, 46.0)),
    "shoulder": Row(Source.PERIODICAL, (8.0, 8.4, 8.8, 9.2, 9.6, 10.0, 10.4, 10.8)),
    # At the equivalent age; nine years continued by the step before it.
    "upper_arm": Row(Source.SURVEY_GIRLS, (15.9, 15.7, 16.2, 16.9, 17.1, 18.1, 19.0, 19.9)),
    "wrist": Row(Source.SURVEY_GIRLS, (11.3, 11.2, 11.4, 11.7, 12.2, 12.4, 13.0, 13.6)),
    "neck": Row(Source.SURVEY_GIRLS, (23.3, 23.5, 24.0, 24.5, 25.7, 26.0, 27.0, 28.0)),
}
INFANT_HEIGHTS = {
    name: Row(row.source, tuple(row.cm[MONTHS.index(age)] for age in INFANT_LABELS.values()))
    for name, row in INFANT_GIRLS.items()
} | {"height": Row(Source.LABEL, tuple(float(label) for label in INFANT_LABELS))}
