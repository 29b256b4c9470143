"""The drafts an order may ask for, by name."""

from __future__ import annotations

from pieces.drafting.band import BandOptions, draft_band
from pieces.drafting.bodice import BodiceOptions, draft_bodice
from pieces.drafting.collar import CollarOptions, draft_collar
from pieces.drafting.facing import FacingOptions, draft_facing
from pieces.drafting.flared_skirt import FlaredSkirtOptions, draft_flared_skirt
from pieces.drafting.gathered_skirt import GatheredSkirtOptions, draft_gathered_skirt
from pieces.drafting.setting import DraftKind
from pieces.drafting.sleeve import SleeveBandOptions, SleeveOptions, draft_sleeve, draft_sleeve_band
from pieces.drafting.tier import TierOptions, draft_tier

DRAFTS: dict[str, DraftKind] = {
    kind.name: kind
    for kind in (
        DraftKind(
            "bodice",
            BodiceOptions,
            draft_bodice,
            "a child's bodice to the waist, sleeveless or for sleeves",
        ),
        DraftKind("sleeve", SleeveOptions, draft_sleeve, "a pair of set-in or puff sleeves"),
        DraftKind(
            "sleeve band",
            SleeveBandOptions,
            draft_sleeve_band,
            "bands at the hems of a pair of sleeves",
        ),
        DraftKind("facing", FacingOptions, draft_facing, "facings of a bodice's neck or armholes"),
        DraftKind("collar", CollarOptions, draft_collar, "a flat or a stand collar"),
        DraftKind(
            "flared skirt",
            FlaredSkirtOptions,
            draft_flared_skirt,
            "a skirt that is part of a circle",
        ),
        DraftKind(
            "gathered skirt",
            GatheredSkirtOptions,
            draft_gathered_skirt,
            "a straight skirt gathered to the waist",
        ),
        DraftKind("tier", TierOptions, draft_tier, "one gathered tier of a skirt"),
        DraftKind("band", BandOptions, draft_band, "a band or frill round a hem"),
    )
}
"""In the order in which they are listed for the reader."""
