"""Strips of several garments that are called the same, one of them cut otherwise."""

from nesting.order.read import order_from_text
from nesting.rules.parts import draft_cloth, draft_order, of_fabric
from nesting.strips.cuttings import cuttings_for, usual_cutting
from nesting.strips.open_strips import Sums
from pieces.drafting.spec import Cutting, of_garment

DRESSES = [("Ann", 4, 37), ("Cora", 5, 39), ("Eve", 6, 41), ("Gwen", 7, 43), ("Ivy", 8, 45)]
"""Two of each in tulle 280 cm wide: a hand lays them in 3.05 m with one join; without any they
take 3.30 m by the sums, and one cutting for all of one name had to join two."""


def tulle(wearers=DRESSES):
    part = '{ draft = "tier", fabric = "tulle", at_waist = true, fullness = 3, depth = %d }'
    garments = "".join(
        f'[[garment]]\nname = "{name} {twin}"\nsize = "{age} years"\npart = [{part % depth}]\n'
        for name, age, depth in wearers
        for twin in (1, 2)
    )
    return order_from_text(
        'units = "cm"\nseam_allowance = 1.5\n[fabric.tulle]\nwidth = 280\nfaces = "alike"\n'
        'sold_by = "10 cm"\n' + garments,
        "tulle.toml",
    )


def strips_of(order, cutting=None):
    if cutting is not None:
        return draft_cloth(order, "tulle", cutting)
    return of_fabric(draft_order(order).pieces, "tulle")


def test_a_single_join_is_proposed_where_it_saves_a_step():
    order = tulle()
    fabric, pieces = order.fabrics["tulle"], strips_of(order)
    sums = Sums(fabric, pieces, usual_cutting(fabric).across_mm)
    found = [sums.worth(one) for one in cuttings_for(fabric, pieces)]
    assert found[0][1] == 0
    single = [bought for bought, joins, _ in found if joins == 1]
    assert single
    assert min(single) <= found[0][0] - 100


def test_a_strip_of_one_garment_is_cut_by_itself():
    order = tulle([("Gwen", 7, 43)])
    whole = Cutting(2800.0, 2800.0)
    half = Cutting(1000.0, 1000.0)
    own = Cutting(2800.0, 2800.0, own=((of_garment("tulle tier 1", "Gwen 2"), half),))
    assert [piece.cut for piece in strips_of(order, whole)] == [1, 1]
    assert [(piece.garment, piece.cut) for piece in strips_of(order, own)] == [
        ("Gwen 1", 1),
        ("Gwen 2", 2),
    ]
