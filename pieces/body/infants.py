"""Size tables for girls and boys from newborn to 24 months, which meet those of two years."""

from __future__ import annotations

from pieces.body.sources import Row, Source

MONTHS = (0, 3, 6, 9, 12, 18, 24)
"""The first is a newborn."""

_SHARED = {
    "chest": Row(Source.INFANTS, (34.5, 40.6, 43.2, 44.8, 46.0, 47.8, 49.4)),
    "waist": Row(Source.INFANTS, (33.5, 40.0, 42.5, 44.0, 45.0, 46.3, 47.2)),
    "hip": Row(Source.INFANTS, (34.0, 40.5, 43.5, 45.5, 47.0, 49.3, 51.1)),
    "back_waist": Row(Source.YARN_INFANTS, (14.3, 15.2, 17.8, 18.4, 19.1, 20.3, 21.6)),
    "shoulder": Row(Source.YARN_SHOULDER, (4.4, 5.2, 5.6, 5.8, 6.0, 6.1, 6.2)),
    "arm": Row(Source.INFANT_ARMS, (18.5, 21.5, 22.7, 24.5, 25.4, 26.9, 28.2)),
    "wrist": Row(Source.INFANTS, (8.5, 9.5, 10.0, 10.3, 10.6, 11.0, 11.3)),
    "neck": Row(Source.INFANTS, (19.0, 20.8, 21.6, 22.1, 22.5, 23.0, 23.3)),
}
INFANT_GIRLS = {
    "height": Row(Source.WHO, (49.1, 59.8, 65.8, 70.1, 74.0, 80.7, 86.4)),
    "upper_arm": Row(Source.WHO_ARMS, (10.8, 13.0, 13.8, 14.1, 14.2, 14.5, 14.9)),
} | _SHARED
INFANT_BOYS = {
    "height": Row(Source.WHO, (49.9, 61.4, 67.6, 72.0, 75.7, 82.3, 87.8)),
    "upper_arm": Row(Source.WHO_ARMS, (10.9, 13.5, 14.2, 14.5, 14.6, 14.8, 15.2)),
} | _SHARED
