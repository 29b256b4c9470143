"""Orders at random, written as a file has them: every rule of a cloth, alone and with others."""

from __future__ import annotations

import os
from typing import Any

import tomlkit
from hypothesis import strategies as st

from nesting.fabric.fabric import Edge, Faces, LayName, Nap
from nesting.order.model import Order
from nesting.order.read import order_from_text
from pieces.piece import GrainRule

Table = dict[str, Any]
ANY_ORDERS = int(os.environ.get("ANY_ORDERS", "20"))
"""So many orders at random are planned."""

SHAPES = [
    [[0, 0], [300, 0], [300, 120], [0, 120]],
    [[0, 0], [250, 0], [180, 140], [0, 90]],
    [[0, 0], [200, 0], [200, 60], [120, 60], [120, 150], [0, 150]],
    [[0, 0], [160, 0], [80, 130]],
]
"""Outlines in mm, grain along x, that may be cut with their first edge on a fold."""
RULES = [rule.value for rule in GrainRule]
POINTS = ["hem", "top", "middle"]
REPEATS: list[Table] = [
    {"length": 70},
    {"width": 60},
    {"length": 110, "width": 45},
    {"width": 90, "from_edge": 25},
]


def _order(cloth: Table, *own: Table) -> Table:
    common = {"fabric": "lawn", "grain": [[0, 0], [10, 0]], "cut": 2, "garment": "one"}
    pieces = [common | {"name": f"piece {n}"} | piece for n, piece in enumerate(own)]
    return {"name": "any", "units": "mm", "fabric": {"lawn": cloth}, "piece": pieces}


HEMS_ON_A_FOLD = _order(
    {"width": 892, "lays": ["crosswise-fold"], "border": {"edge": "upper", "depth": 30}},
    {"outline": SHAPES[0], "on_fold": SHAPES[0][:2], "border": True},
)
"""One selvedge and one fold across the cloth: both hems can't lie where these meet."""
TOUCHING_ON_FLAWED_CLOTH = _order(
    {
        "width": 659,
        "nap": "one-way",
        "faces": "alike",
        "gap": 2,
        "shrinkage": {"length": 0, "width": 3},
        "flaws": [{"from": 500, "to": 560, "across": [393, 463]}],
    },
    {"outline": SHAPES[0], "on_fold": SHAPES[0][:2], "grain_rule": "crosswise"},
    {"outline": SHAPES[2], "on_fold": SHAPES[2][:2], "grain_rule": "any"},
)
"""A fold's pieces touch each other, by rounding, when it is cut open."""


FLAWS_IN_THE_WAY_OF_THE_NEXT = _order(
    {
        "width": 230,
        "lays": ["open"],
        "flaws": [{"from": 350, "to": 360, "across": [0, 230]}],
        "in_hand": [{"length": 200}],
    },
    {"outline": SHAPES[0], "cut": 1, "garment": "one"},
    {"outline": SHAPES[0], "cut": 1, "garment": "two"},
)
"""What is bought can't be laid out one garment behind another."""


ON_A_FOLD_PAST_FLAWS = _order(
    {
        "width": 640,
        "lays": ["crosswise-fold", "open"],
        "gap": 2,
        "flaws": [
            {"from": 0, "to": 15, "across": [0, 640]},
            {"from": 410, "to": 450, "across": [300, 340]},
        ],
    },
    {"outline": SHAPES[0], "on_fold": SHAPES[0][:2], "grain_rule": "crosswise"},
    {"outline": SHAPES[1], "cut": 1},
    {"outline": SHAPES[2], "pair": True},
)
"""Pieces on a crosswise fold, a single one past it, and flaws in both layers."""


IN_A_CORNER_PAST_FLAWS = _order(
    {
        "width": 640,
        "lays": ["quarter-fold", "open"],
        "gap": 2,
        "edge_gap": 3,
        "flaws": [{"from": 410, "to": 450, "across": [300, 340]}],
    },
    {"outline": SHAPES[1], "on_fold": SHAPES[1][:2], "second_fold": [[0, 90], [0, 0]], "cut": 3},
    {"outline": SHAPES[2], "pair": True},
)
"""A piece in the corner of a quarter fold, others of it beside it, and a flaw in some layer."""


MEETING_A_PRINT_ON_A_FOLD_PAST_FLAWS = _order(
    {
        "width": 682,
        "repeat": {"length": 110, "width": 45},
        "flaws": [{"from": 865, "to": 905, "across": [266, 291]}],
    },
    {
        "outline": SHAPES[0],
        "on_fold": SHAPES[0][:2],
        "second_fold": [[0, 120], [0, 0]],
        "cut": 2,
        "grain_rule": "bias",
    },
    {"outline": SHAPES[0], "on_fold": SHAPES[0][:2], "cut": 3},
    {
        "outline": SHAPES[0],
        "on_fold": SHAPES[0][:2],
        "grain_rule": "crosswise",
        "match": ["hem"],
    },
    {"outline": SHAPES[0], "on_fold": SHAPES[0][:2], "grain_rule": "crosswise"},
)
"""Where a crosswise fold could lie, a flaw takes the room of a piece on it that meets a print."""
HEMS_ON_TWO_BORDERS = _order(
    {"width": 500, "nap": "one-way", "border": {"edge": "both", "depth": 30}},
    {"outline": [[0, 0], [160, 0], [80, 130]], "cut": 2, "border": True},
)
"""Even about a line across the grain: below a fold its hem would lie at the other end."""
STRIPS_THAT_OPEN_OUT = _order(
    {"width": 500, "repeat": {"length": 70}, "lays": ["open", "lengthwise-fold"]},
    *(
        {**one, "garment": garment}
        for garment in ("one", "two", "three")
        for one in (
            {"outline": [[0, 0], [160, 0], [80, 130]], "cut": 2, "grain_rule": "bias"},
            {"outline": [[0, 0], [300, 0], [300, 120], [0, 120]], "cut": 1},
        )
    ),
) | {
    "garment": [
        {
            "name": "Ada",
            "size": "2 years",
            "part": [
                {"draft": "tier", "depth": 110, "fullness": 1.5, "fabric": "lawn"},
                {"draft": "sash", "width": 80, "fabric": "lawn"},
            ],
        }
    ]
}
"""The shortest folded marker with a nap ends opened out, and is the last to be found."""


def read(tables: Table) -> Order:
    """The order that the tables are the file of."""
    return order_from_text(tomlkit.dumps(tables), "any.toml")


@st.composite
def flaws(draw: st.DrawFn) -> Table:
    x, y = draw(st.integers(0, 900)), draw(st.integers(0, 480))
    if draw(st.booleans()):
        return {"from": x, "to": x + 40, "across": [y, y + 25]}
    return {"outline": [[x, y], [x + 60, y + 10], [x + 15, y + 70]]}


@st.composite
def bolts(draw: st.DrawFn) -> Table:
    bolt: Table = {"length": draw(st.integers(120, 1500)), "washed": draw(st.booleans())}
    if draw(st.booleans()):
        bolt["width"] = draw(st.integers(300, 1600))
    bolt["flaws"] = draw(st.lists(flaws(), max_size=1)) if bolt.get("width", 500) > 490 else []
    return bolt


def either(*values: object) -> st.SearchStrategy[Any]:
    return st.sampled_from(values)


@st.composite
def cloths(draw: st.DrawFn) -> Table:
    """A cloth's table: most are plain and whole, so that lays stay to choose from."""
    cloth: Table = {
        "width": draw(st.integers(500, 1600)),
        "selvedge": draw(either(0, 10, 12.7)),
        "nap": draw(st.sampled_from([nap.value for nap in Nap])),
        "faces": draw(st.sampled_from([faces.value for faces in Faces])),
        "gap": draw(either(0, 0, 2)),
        "edge_gap": draw(either(0, 0, 3)),
        "tilt": draw(either(0, 0, 0, 1.5)),
        "shrinkage": {"length": draw(either(0, 5)), "width": draw(either(0, 3))},
        "end_allowance": draw(either(0, 20)),
        "minimum": draw(either(0, 500)),
        "flaws": draw(st.lists(flaws(), max_size=2)),
        "in_hand": draw(either([], [])) or draw(st.lists(bolts(), max_size=2)),
    }
    if draw(st.booleans()):
        cloth["sold_by"] = 100
    if draw(st.booleans()):
        cloth["repeat"] = draw(st.sampled_from(REPEATS))
    if draw(either(False, False, True)):
        edge = draw(st.sampled_from([edge.value for edge in Edge]))
        cloth["border"] = {"edge": edge, "depth": 30}
    if draw(either(False, False, True)):
        lays = st.sampled_from([lay.value for lay in LayName])
        cloth["lays"] = draw(st.lists(lays, min_size=1, max_size=3, unique=True))
    return cloth


@st.composite
def pieces(draw: st.DrawFn, cloth: Table, number: int) -> Table:
    """A piece's table; it asks for what the cloth's print has, and now and then in vain."""
    outline = draw(st.sampled_from(SHAPES))
    piece: Table = {
        "name": f"piece {number}",
        "fabric": "lawn",
        "outline": outline,
        "grain": [[0, 0], [10, 0]],
        "cut": draw(st.integers(1, 3)),
    }
    if draw(st.booleans()):
        piece["on_fold"] = outline[:2]
        if outline[-1][0] == 0 and draw(st.booleans()):
            piece["second_fold"] = [outline[-1], outline[0]]
    else:
        piece["pair"] = draw(st.booleans())
    if "border" in cloth and draw(st.booleans()):
        return piece | {"border": True}
    piece["grain_rule"] = draw(st.sampled_from(RULES))
    matched = "repeat" in cloth and piece["grain_rule"] != "bias"
    if matched and draw(st.booleans()):
        piece["match"] = draw(st.lists(st.sampled_from(POINTS), max_size=2, unique=True))
    if matched and draw(either(False, False, True)):
        piece["motif"] = [draw(st.sampled_from(POINTS))]
    return piece


PARTS: list[list[Table]] = [
    [{"draft": "bodice", "sleeveless": True}],
    [{"draft": "flared skirt", "circle": "half", "length": 250}],
    [{"draft": "gathered skirt", "length": 220}, {"draft": "band", "depth": 60}],
    [{"draft": "tier", "depth": 110, "fullness": 1.5}, {"draft": "sash", "width": 80}],
]
"""Parts of a child's garment, with strips to cut among them."""


@st.composite
def drafts(draw: st.DrawFn) -> list[Table]:
    """Most orders have ready pieces alone."""
    if not draw(either(False, False, True)):
        return []
    parts = [part | {"fabric": "lawn"} for part in draw(st.sampled_from(PARTS))]
    quantity = draw(st.integers(1, 2))
    return [{"name": "Ada", "size": "2 years", "quantity": quantity, "part": parts}]


@st.composite
def orders(draw: st.DrawFn, most_pieces: int = 4) -> Table:
    """One cloth, and pieces of up to three garments: each with its own, or all alike."""
    cloth = draw(cloths())
    drawn = [draw(pieces(cloth, number)) for number in range(draw(st.integers(1, most_pieces)))]
    garments = draw(either(["one"], ["one", "two"], ["one", "two", "three"]))
    if len(garments) > 1 and draw(st.booleans()):
        own = [piece | {"garment": garment} for garment in garments for piece in drawn[:2]]
    else:
        own = [piece | {"garment": draw(st.sampled_from(garments))} for piece in drawn]
    tables: Table = {"name": "any", "units": "mm", "fabric": {"lawn": cloth}, "piece": own}
    drafted = draw(drafts())
    return tables | {"garment": drafted} if drafted else tables
