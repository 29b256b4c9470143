"""Size tables for girls and boys of 3 to 24 months. No neck and no wrist is tabulated so young."""

from __future__ import annotations

from pieces.body.sources import Row, Source

MONTHS = (3, 6, 9, 12, 18, 24)

_SHARED = {
    "chest": Row(Source.YARN_INFANTS, (40.6, 43.2, 44.5, 45.7, 48.3, 50.8)),
    "waist": Row(Source.YARN_INFANTS, (45.7, 48.3, 49.5, 50.8, 52.1, 53.3)),
    "hip": Row(Source.YARN_INFANTS, (48.3, 50.8, 50.8, 50.8, 53.3, 55.9)),
    "back_waist": Row(Source.YARN_INFANTS, (15.2, 17.8, 18.4, 19.1, 20.3, 21.6)),
    "shoulder": Row(Source.YARN_SHOULDER, (5.2, 5.6, 5.8, 6.0, 6.1, 6.2)),
    "arm": Row(Source.SURVEY_INFANTS, (21.5, 22.7, 24.5, 25.4, 26.9, 28.2)),
}
INFANT_GIRLS = {
    "height": Row(Source.WHO, (59.8, 65.8, 70.1, 74.0, 80.7, 86.4)),
    "upper_arm": Row(Source.WHO, (13.0, 13.8, 14.1, 14.2, 14.5, 14.9)),
} | _SHARED
INFANT_BOYS = {
    "height": Row(Source.WHO, (61.4, 67.6, 72.0, 75.7, 82.3, 87.8)),
    "upper_arm": Row(Source.WHO, (13.5, 14.2, 14.5, 14.6, 14.8, 15.2)),
} | _SHARED
