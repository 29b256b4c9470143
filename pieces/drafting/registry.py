"""The drafts an order may ask for, by name."""

from __future__ import annotations

from pieces.drafting.band import BandOptions, draft_band
from pieces.drafting.bias import BiasBindingOptions, draft_bias_binding
from pieces.drafting.bodice import BodiceOptions, draft_bodice
from pieces.drafting.bow import BowOptions, SashOptions, draft_bow, draft_sash
from pieces.drafting.casing import CasingOptions, draft_casing
from pieces.drafting.collar import CollarOptions, draft_collar
from pieces.drafting.facing import FacingOptions, draft_facing
from pieces.drafting.flared_skirt import (
    FlaredSkirtOptions,
    PeplumOptions,
    draft_flared_skirt,
    draft_peplum,
)
from pieces.drafting.gathered_skirt import GatheredSkirtOptions, draft_gathered_skirt
from pieces.drafting.pleated_skirt import PleatedSkirtOptions, draft_pleated_skirt
from pieces.drafting.pocket import PocketOptions, draft_pocket
from pieces.drafting.setting import DraftKind
from pieces.drafting.sleeve import SleeveBandOptions, SleeveOptions, draft_sleeve, draft_sleeve_band
from pieces.drafting.tier import TierOptions, draft_tier
from pieces.drafting.underlayer import UnderlayerOptions, draft_underlayer
from pieces.drafting.yoke import YokeOptions, draft_yoke

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
        DraftKind(
            "pleated skirt",
            PleatedSkirtOptions,
            draft_pleated_skirt,
            "a straight skirt in knife, box or inverted pleats",
        ),
        DraftKind("yoke", YokeOptions, draft_yoke, "a fitted yoke, for a dropped waist"),
        DraftKind("peplum", PeplumOptions, draft_peplum, "a short flared skirt over another"),
        DraftKind("tier", TierOptions, draft_tier, "one gathered tier of a skirt"),
        DraftKind("band", BandOptions, draft_band, "a band or frill round a hem"),
        DraftKind(
            "underlayer",
            UnderlayerOptions,
            draft_underlayer,
            "a layer of stiff net that holds a skirt out",
        ),
        DraftKind(
            "bias binding",
            BiasBindingOptions,
            draft_bias_binding,
            "a bias binding, in strips or from a square",
        ),
        DraftKind("casing", CasingOptions, draft_casing, "a casing for elastic at the waist"),
        DraftKind("sash", SashOptions, draft_sash, "a sash to tie round the waist"),
        DraftKind("bow", BowOptions, draft_bow, "a bow of loop, tails and knot"),
        DraftKind("pocket", PocketOptions, draft_pocket, "pockets, patched on or in a seam"),
    )
}
"""In the order in which they are listed for the reader."""
