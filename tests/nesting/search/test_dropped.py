"""A layout that can't be cut is dropped and told, and costs nothing else its plan."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.marker import Marker
from nesting.order.model import Order
from nesting.planning.planner import plan
from nesting.search import lay_result
from nesting.search.candidate import Straight
from nesting.search.clock import Clock
from nesting.solver.instance import NoRoom
from nesting.solver.search.line import Slice
from nesting.solver.stop import Rounds, Seconds, Stop
from pieces.errors import CannotFit, OwnFailure
from pieces.piece import Piece
from pieces.units import Unit

BOX = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))
LAYS = (LayName.OPEN, LayName.LENGTHWISE_FOLD)


def order(*cloths: Fabric) -> Order:
    pieces = [
        Piece("box", one.name, BOX, ((0.0, 0.0), (10.0, 0.0)), cut=2, pair=True) for one in cloths
    ]
    return Order("two", "two.toml", Unit.CM, {c.name: c for c in cloths}, (), tuple(pieces))


def let_fail(monkeypatch: pytest.MonkeyPatch, fabric: str, *lays: LayName) -> None:
    """Let no marker of a cloth on these lays verify."""
    honest = lay_result.require_valid

    def judge(cloth: Fabric, pieces: Sequence[Piece], marker: Marker) -> None:
        if cloth.name == fabric and marker.lay in lays:
            raise OwnFailure("It can't be cut.\n  overlap: one piece lies on another")
        honest(cloth, pieces, marker)

    monkeypatch.setattr(lay_result, "require_valid", judge)


def test_a_lay_that_does_not_verify_is_dropped_and_told(monkeypatch: pytest.MonkeyPatch) -> None:
    let_fail(monkeypatch, "lawn", LayName.LENGTHWISE_FOLD)
    lawn, net = (Fabric(name, 1000.0, lays=LAYS) for name in ("lawn", "net"))
    made = plan(order(lawn, net), Rounds(1), jobs=1)
    assert [one.marker.lay for one in made.fabrics] == [LayName.OPEN, LayName.LENGTHWISE_FOLD]
    (told,) = (one.message for one in made.findings if one.code == "marker-dropped")
    assert told.startswith("lawn: a layout found on the lengthwise fold can't be cut")
    assert told.endswith("overlap: one piece lies on another")


def test_a_cloth_with_no_other_lay_has_no_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    let_fail(monkeypatch, "lawn", *LAYS)
    with pytest.raises(OwnFailure, match="can't be cut"):
        plan(order(Fabric("lawn", 1000.0, lays=LAYS)), Rounds(1), jobs=1)


def test_a_lay_on_which_pieces_have_no_direction_in_common_is_left(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """As if a worker had found so; the open lay counts."""
    honest = Straight.take

    def take(self: Straight, clock: Clock) -> Slice:
        return honest(self, clock) if self.lay is LayName.OPEN else Slice(nowhere, ())

    monkeypatch.setattr(Straight, "take", take)
    made = plan(order(Fabric("lawn", 1000.0, lays=LAYS)), Rounds(1), jobs=1)
    assert [one.marker.lay for one in made.fabrics] == [LayName.OPEN]


@pytest.mark.parametrize("stop", [Rounds(1), Seconds(0.5)])
def test_a_cloth_without_any_room_is_refused_in_words(
    monkeypatch: pytest.MonkeyPatch, stop: Stop
) -> None:
    monkeypatch.setattr(Straight, "take", lambda *_: Slice(nowhere, ()))
    with pytest.raises(CannotFit) as caught:
        plan(order(Fabric("lawn", 1000.0, lays=LAYS)), stop, jobs=1)
    assert "no way to lie together" in caught.value.faults[0].message


def nowhere() -> None:
    raise NoRoom("no direction suits all")
