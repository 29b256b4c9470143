"""What plan.json says of a cloth: how it lies, what is cut from it, what to buy.

Types that the code which fills it is held to, and of which its JSON Schema is made: see `records`.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from nesting.fabric.fabric import Edge, Faces, LayName, Nap
from nesting.output.files.values import (
    Cost,
    Count,
    FromOne,
    Kind,
    LayerMap,
    Length,
    Name,
    Number,
    Outline,
    Percent,
    Section,
    closed,
)


@closed
class PlacementRecord(TypedDict):
    """One outline to cut, where it lies on the table."""

    garment: str
    """The garment that it is for; empty if it is for none."""
    piece: Name
    """The piece that it is, by its name in the garment."""
    copy: FromOne
    """Which placement of that piece, counted from 1."""
    yields: Count
    """Wanted parts that this cut gives; what a fold joins is one part."""
    spare: Count
    """Parts that it gives and nobody wants."""
    layers: Annotated[int, Field(ge=1, le=4)]
    """Layers of cloth that are cut through."""
    section: Section
    """Which stretch of the cloth it lies in: the main one, or the end that is opened out."""
    band: Count
    """Which band across the cloth it lies in, from 0."""
    on_fold: bool
    """Whether a fold edge of the piece lies on a fold of the cloth."""
    in_corner: bool
    """Whether both its fold edges lie on folds, in the corner where these meet."""
    unfolded: bool
    """Whether it is opened out about a fold edge that lies on no fold."""
    turn_deg: Number
    """How far it is turned about 0, 0, after it was mirrored."""
    mirrored: bool
    """Whether it is mirrored first: y to -y."""
    x_mm: Number
    """How far it is shifted along the cloth, last."""
    y_mm: Number
    """How far it is shifted across the cloth, last."""
    grain_deg: Number
    """Where its thread line points on the table; 0 is away from where x begins."""
    outline_mm: Outline
    """The line to cut, where it lies; the last point is not the first again."""


@closed
class LayerMapRecord(TypedDict):
    """How the layers of one band lie on the flat cloth."""

    section: Section
    """The stretch of the cloth that the band is of."""
    band: Count
    """The band across, from 0."""
    layers: Annotated[list[LayerMap], Field(min_length=1, max_length=4)]
    """For each layer a, b, c, d, e, f: x, y on the table is a x + b y + e, c x + d y + f on the
    flat cloth, right side up, in mm from the cut end and from the inside of the lower selvedge."""


@closed
class PurchaseRecord(TypedDict):
    """What to ask for at the counter; nothing of a cloth in hand."""

    length_mm: Length
    """How much to buy; 0 of a cloth in hand."""
    text: Name
    """The same in words, in metres and in yards, each rounded up on its own step."""
    cost: Cost | None
    """What it costs, in the currency; null without a price."""
    currency: str
    """The currency as the order names it; empty without a price."""
    steps: list[str]
    """The sums from the marker's length to the purchase, a sentence each."""


@closed
class PriceRecord(TypedDict):
    """What the shop asks."""

    amount: Annotated[str, Field(pattern=r"^[0-9]+(\.[0-9]+)?$")]
    """The price of so much cloth, exact, as text."""
    currency: Name
    """The currency as the order names it."""
    per_mm: Annotated[Number, Field(gt=0)]
    """The length that the price is for, in mm: that of a metre or a yard."""


@closed
class ShrinkageRecord(TypedDict):
    """Percent lost in the first wash."""

    length: Percent
    """Percent of the length as bought."""
    width: Percent
    """Percent of the width as bought."""


@closed
class BoltRecord(TypedDict):
    """A length in hand, as it was before the cut."""

    name: Name
    """What the order, or the book of cloth, calls it."""
    length_mm: Length
    """How long it was."""
    width_mm: Length
    """How wide it was, with its selvedges."""
    washed: bool
    """Whether it has been washed, and shrinks no more."""
    selvedge_mm: Length | None
    """What each of its two edges loses; null for as much as the cloth's own do."""


@closed
class RemnantRecord(TypedDict):
    """A free rectangle that is left, as it lies on the table."""

    x_mm: Number
    """Where it begins along the cloth."""
    y_mm: Number
    """Where it begins across the cloth."""
    length_mm: Length
    """How far it goes along the cloth."""
    width_mm: Length
    """How far it goes across the cloth."""
    layers: FromOne
    """Layers of it."""


@closed
class FlawRecord(TypedDict):
    """What lies of a flaw on the table."""

    section: Section
    """The stretch of the cloth that it is in."""
    band: Count
    """The band across that it is in, from 0."""
    layer: FromOne
    """The layer that it is in; 1 lies on the table."""
    outline_mm: Outline
    """Its outline, where it lies."""


@closed
class LayRecord(TypedDict):
    """One lay that was tried."""

    lay: LayName
    """How the cloth is folded."""
    width_mm: Length
    """Full width of the cloth, as bought."""
    length_mm: Length
    """Flat cloth that its marker takes."""
    least_possible_mm: Length
    """No layout on this lay is shorter."""
    purchase_mm: Length
    """What would be bought, as bought."""
    cost: Cost | None
    """What that costs, in the cloth's currency; null without a price."""
    waste_percent: Percent
    """Percent of the usable cloth, layers and all, that is in no wanted part."""
    cut_outlines: Count
    """Outlines to cut."""
    cut_metres: Length
    """Metres of line to cut."""
    joins: Count
    """Joins in all strips together."""
    opened_from_mm: Length | None
    """Where along the table its fold ends and the cloth lies open; null if nowhere."""
    longer_search_may_lose_mm: Length
    """How much shorter a search as long again may make it."""


@closed
class FewerJoinsRecord(TypedDict):
    """What would be bought with fewer joins in strips."""

    fewer: FromOne
    """How many joins fewer."""
    purchase_mm: Length
    """What would then be bought, as bought."""


@closed
class SavingRecord(TypedDict):
    """What a search as long again is likely to save."""

    length_mm: Length
    """Of what is bought, as bought."""
    cost: Cost | None
    """Of the cost, in the cloth's currency; null without a price."""


@closed
class PeriodsRecord(TypedDict):
    """How far a print runs until it begins again."""

    length: Length
    """In mm along the cloth; 0 where it doesn't."""
    width: Length
    """In mm across the cloth; 0 where it doesn't."""


@closed
class BorderRecord(TypedDict):
    """A print along a selvedge."""

    edge: Edge
    """The selvedge that it runs along."""
    depth_mm: Length
    """How far it reaches in from the inside of the selvedge."""


@closed
class PrintPointRecord(TypedDict):
    """A point of a placement at which the print meets."""

    garment: str
    """The garment of the placement."""
    piece: Name
    """The piece of the placement."""
    copy: FromOne
    """Which placement of that piece."""
    point: Name
    """What the point is called."""
    motif: bool
    """Whether a motif is centred there."""
    along: bool
    """Whether its place along the cloth counts."""
    across: bool
    """Whether its place across the cloth counts."""
    x_mm: Number
    """Where it lies along the table."""
    y_mm: Number
    """Where it lies across the table."""


@closed
class PrintRecord(TypedDict):
    """What a print asks of a layout, and what that takes."""

    repeat_mm: PeriodsRecord
    """The repeat, washed, as far as the pieces ask for it."""
    border: BorderRecord | None
    """A print along a selvedge, washed; null without one."""
    first_motif_mm: Number | None
    """Where along the table the first motif has its middle; null if none is centred."""
    plain_purchase_mm: Length | None
    """What would be bought of plain cloth, as bought; null if that is not known."""
    more_than_plain_mm: Length | None
    """How much more that the print meets takes, as bought; null if that is not known."""
    points: list[PrintPointRecord]
    """Every point at which the print meets."""


@closed
class FabricRecord(TypedDict):
    """One cloth: a length in hand that is cut from, or what is bought."""

    name: Name
    """The cloth, as the order calls it."""
    title: Name
    """The same, with the name of the length in hand that it is cut from."""
    in_hand: BoltRecord | None
    """The length in hand that it is cut from; null where it is bought."""
    lay: LayName
    """How the cloth is folded."""
    fold_depth_mm: Length
    """How far a partial fold is folded in, from its outer edge; 0 on other lays."""
    opened_from_mm: Length | None
    """Where along the table the fold ends and the cloth lies open; null if nowhere."""
    measured_from: Literal["cut end", "fold"]
    """Where x begins."""
    nap: Nap
    """Whether pieces may lie end for end."""
    faces: Faces
    """Whether both faces of the cloth are alike, so that parts may be turned over."""
    gap_mm: Length
    """What is kept between pieces."""
    edge_gap_mm: Length
    """What is kept to the selvedges and cut ends, and not to a fold."""
    tilt_deg: Annotated[Number, Field(ge=0)]
    """How far a piece may turn off its grain, either way."""
    shrinkage: ShrinkageRecord
    """What the first wash takes."""
    width_mm: Length
    """Full width, as bought."""
    usable_width_mm: Length
    """Width between the selvedges."""
    length_mm: Length
    """Flat cloth that the marker takes."""
    table_length_mm: Length
    """What of that lies along the table."""
    least_possible_mm: Length
    """No layout on any lay that the order allows is shorter."""
    purchase: PurchaseRecord
    """What to buy."""
    one_by_one_purchase_mm: Length | None
    """What would be bought if each garment had a length of its own, as bought; null if that is not
    known."""
    proven_least: bool
    """Whether no shorter purchase can hold the pieces."""
    waste_percent: Percent
    """Percent of the usable cloth, layers and all, that is in no wanted part."""
    unused_percent_of_purchase: Percent
    """Percent of the cloth as bought, selvedges and all, that is in no wanted part."""
    cut_outlines: Count
    """Outlines to cut."""
    cut_metres: Length
    """Metres of line to cut."""
    joins: Count
    """Joins in all strips together."""
    fewer_joins: FewerJoinsRecord | None
    """What fewer joins would take; null where the width asks for all of them."""
    longer_search_may_save: SavingRecord | None
    """What a search as long again is likely to save; null if nothing is."""
    remnants: list[RemnantRecord]
    """What is left over."""
    flaws: list[FlawRecord]
    """Where the flaws lie on the table."""
    print: PrintRecord | None
    """What the print asks; null where no piece asks for it."""
    lays_compared: list[LayRecord]
    """Every lay that was tried."""
    selvedge_mm: Length
    """What each of the two edges loses."""
    end_allowance_mm: Length
    """For squaring the cut ends, once a purchase, as bought."""
    before_motif_mm: Length
    """What may go before the first motif, as bought."""
    sold_by_mm: Length
    """The step in which the shop cuts, as bought; 0 for whole millimetres."""
    minimum_mm: Length
    """The least that the shop sells, as bought."""
    price: PriceRecord | None
    """What the shop asks; null without a price."""
    repeat_mm: Annotated[list[Length], Field(min_length=2, max_length=2)]
    """The print's repeat along and across; 0 where there is none."""
    motif_across_mm: Number | None
    """Where the middle of a motif lies across, from the inside of the lower selvedge; null without
    a repeat across."""
    border: BorderRecord | None
    """A print along a selvedge, as bought; null without one."""
    flaws_bought_mm: list[Outline]
    """The flaws as bought: x from the squared cut end, y from the lower edge, selvedge and all."""
    layer_maps: Annotated[list[LayerMapRecord], Field(min_length=1)]
    """How every layer lies on the flat cloth."""
    placements: Annotated[list[PlacementRecord], Field(min_length=1)]
    """Every outline to cut."""
    files: Annotated[
        dict[Kind, Name], Field(min_length=4, json_schema_extra={"additionalProperties": False})
    ]
    """The drawings' file names by kind; `tiles` if they were asked for at true size on pages."""
