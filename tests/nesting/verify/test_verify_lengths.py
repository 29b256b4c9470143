"""Strips as long as the order asks: hand-made garments, and mutants that drafts miss."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.rules.parts import draft_order
from nesting.verify.lengths import length_findings
from pieces.drafting import garment as drafted
from pieces.drafting.spec import Cutting
from pieces.errors import OwnFailure
from tests.examples import examples


def order(*parts: str, waist: float = 53.0) -> Order:
    tables = "".join(f"[[garment.part]]\n{part}\n" for part in parts)
    text = f"""
    units = "cm"
    [fabric.satin]
    width = 150
    [fabric.net]
    width = 70
    [[garment]]
    name = "Ada"
    size = "4 years"
    body = {{ waist = {waist} }}
    {tables}
    """
    return order_from_text(text, "o.toml")


def refused(asked: Order) -> int:
    """How many findings a draft is refused for."""
    with pytest.raises(OwnFailure, match="meet what they are sewn to") as raised:
        draft_order(asked)
    return str(raised.value).count("\n  strip: ")


SKIRT = 'draft = "{}"\nfabric = "satin"\nlining = "net"'
BAND = 'draft = "band"\nfabric = "net"\nfullness = 2'
TIER = 'draft = "tier"\nfabric = "net"\ndepth = 12\nstrips = "joined end to end"'


@given(
    skirt=st.sampled_from(["flared skirt", "gathered skirt", "pleated skirt"]),
    waist=st.floats(45, 70),
    width=st.floats(400, 1600),
    evenly=st.booleans(),
    bodice=st.booleans(),
)
@settings(max_examples=examples(30), deadline=None)
def test_what_is_drafted_is_as_long_as_asked(
    skirt: str, waist: float, width: float, evenly: bool, bodice: bool
) -> None:
    """However each cloth is cut: pleats are as many in a skirt, its lining and its band."""
    parts = [
        *(['draft = "bodice"\nfabric = "satin"'] if bodice else []),
        SKIRT.format(skirt),
        BAND,
        TIER + "\nat_waist = true",
        TIER,
        'draft = "underlayer"\nfabric = "net"',
        'draft = "casing"\nfabric = "satin"',
        'draft = "sash"\nfabric = "net"\nlining = "net"',
    ]
    asked = order(*parts, waist=waist)
    draft = draft_order(asked, {"net": Cutting(width, width * 1.5, evenly)})
    assert all(check.ok for check in draft.seam_checks)
    assert list(length_findings(asked.garments[0], draft.pieces)) == []


@pytest.fixture
def no_drafts_kept() -> Iterator[None]:
    drafted._drafted.cache_clear()
    yield
    drafted._drafted.cache_clear()


@pytest.mark.parametrize("skirt", ["flared skirt", "pleated skirt"])
@pytest.mark.usefixtures("no_drafts_kept")
def test_a_band_for_another_hem_is_found(skirt: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The draft takes a hem that is 1 % short, and checks its band against that."""
    asked = order(f'draft = "{skirt}"\nfabric = "satin"', BAND)
    true = drafted._context

    def short(*given: object) -> object:
        setting = true(*given)  # type: ignore[arg-type]
        edge_mm = setting.edge_mm
        return setting if edge_mm is None else replace(setting, edge_mm=0.99 * edge_mm)

    monkeypatch.setattr(drafted, "_context", short)
    assert refused(asked) == 1


@pytest.mark.usefixtures("no_drafts_kept")
def test_a_tier_for_another_waist_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """The draft takes the bodice's waist without its back, and checks the tiers against that."""
    asked = order('draft = "bodice"\nfabric = "satin"', TIER, TIER)
    true = drafted._Progress.add

    def halved(self: object, index: int, host: int | None, made: object) -> None:
        true(self, index, host, made)  # type: ignore[arg-type]
        self.waist_mm = self.waist_mm and self.waist_mm / 2  # type: ignore[attr-defined]

    monkeypatch.setattr(drafted._Progress, "add", halved)
    assert refused(asked) == 2


@pytest.mark.parametrize("off_mm", [-0.6, 0.6])
def test_a_sash_of_another_length_is_found(off_mm: float) -> None:
    """53 cm round, and 25 + 36 at both ends: 175 cm, which the strip's own note doesn't tell."""
    asked = order('draft = "sash"\nfabric = "satin"\njoins = 0')
    (piece,) = draft_order(asked).pieces
    assert piece.strip is not None
    assert piece.strip.whole_mm == pytest.approx(1750)
    assert list(length_findings(asked.garments[0], [piece])) == []
    outline = tuple((x, y + off_mm if y > 100 else y) for x, y in piece.outline)
    wrong = replace(piece, outline=outline, strip=replace(piece.strip, whole_mm=1750 + off_mm))
    (finding,) = length_findings(asked.garments[0], [wrong])
    assert "sash: 1750.000 mm" in finding.message
