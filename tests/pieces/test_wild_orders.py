"""Whatever the options and the body: pieces that can be cut and meet, or faults. Never a crash."""

from typing import Annotated, Literal, get_args, get_origin, get_type_hints

from hypothesis import given, settings
from hypothesis import strategies as st

from pieces.body.measurements import Body
from pieces.body.ranges import RANGES_MM
from pieces.check import faults
from pieces.drafting.registry import DRAFTS
from pieces.drafting.spec import Cutting, PartSpec
from pieces.errors import OrderFault
from pieces.fields import Count, CountOrZero, Flag, Length, LengthOrZero, Ratio
from pieces.piece import Draft
from tests.examples import examples
from tests.pieces.wearers import garment

WILD = {
    Length: st.floats(0.01, 5000),
    LengthOrZero: st.one_of(st.just(0.0), st.floats(0.01, 2000)),
    Ratio: st.floats(0.5, 50),
    Count: st.integers(1, 40),
    CountOrZero: st.integers(0, 300),
    Flag: st.booleans(),
}


def values(kind):
    """Values of an option's type, as an order that passes validation may hold."""
    if get_origin(kind) is Literal:
        return st.sampled_from(get_args(kind))
    if get_origin(kind) is Annotated:
        return WILD[kind]
    return st.one_of(*(st.none() if one is type(None) else values(one) for one in get_args(kind)))


@st.composite
def parts(draw):
    draft = draw(st.sampled_from(list(DRAFTS)))
    options = DRAFTS[draft].options
    kinds = get_type_hints(options, include_extras=True)
    # Most options are left out, as in any order.
    told = draw(st.sets(st.sampled_from(sorted(kinds)), max_size=3))
    given_options = {name: draw(values(kinds[name])) for name in sorted(told)}
    seam, hem = draw(st.floats(0, 40)), draw(st.floats(0, 120))
    lining = draw(st.sampled_from([None, "cotton"]))
    fabric = draw(st.sampled_from(["satin", "tulle"]))
    return PartSpec(draft, options(**given_options), fabric, lining, seam, hem, "part")


MEASURES = {
    name: st.one_of(st.none(), st.floats(least, most)) for name, (least, most) in RANGES_MM.items()
}


LONG = st.floats(5, 4000)
CUTTINGS = st.dictionaries(
    st.sampled_from(["satin", "cotton", "tulle"]), st.builds(Cutting, LONG, LONG, st.booleans())
)
"""How strips are cut of some of the cloths: from wide and from very narrow ones."""


@settings(max_examples=examples(300), deadline=None)
@given(
    st.builds(Body, **MEASURES),
    st.lists(parts(), min_size=1, max_size=4),
    CUTTINGS,
)
def test_any_order_gives_pieces_or_faults(body, asked, cuttings):
    told = []
    draft = Draft(())
    try:
        draft = garment(body, *asked, cuttings=cuttings)
    except OrderFault as refused:
        told = refused.faults
    assert all(fault.key and fault.message and fault.remedy for fault in told)
    assert bool(told) is not bool(draft.pieces)
    assert [fault for piece in draft.pieces for fault in faults(piece, "", piece.name)] == []
    assert [check for check in draft.seam_checks if not check.ok] == []
    assert len({piece.name for piece in draft.pieces}) == len(draft.pieces)


PLAUSIBLE = Body(
    height=1100.0,
    chest=570.0,
    waist=520.0,
    hip=590.0,
    back_waist=260.0,
    shoulder=92.0,
    upper_arm=175.0,
    arm=360.0,
    wrist=120.0,
    neck=250.0,
)


@settings(max_examples=examples(300), deadline=None)
@given(st.lists(parts(), min_size=1, max_size=4), CUTTINGS)
def test_any_options_for_a_plausible_child(asked, cuttings):
    test_any_order_gives_pieces_or_faults.hypothesis.inner_test(PLAUSIBLE, asked, cuttings)
