"""How long a gathered edge is: by a fullness, or by a length that is told. Millimetres."""

from __future__ import annotations

from typing import Literal, Protocol

from pieces.drafting.context import DraftContext, Layer, Needs
from pieces.wording import key

MultipleOf = Literal["waist", "waist and opening"]
"""What a fullness multiplies: the seam alone, or with the allowances of the opening in it."""
_OPENING_MM = 20.0
"""The allowance for a zip where there is no bodice to tell it; common practice."""


class FullOptions(Protocol):
    """What the options of a draft say of its fullness."""

    @property
    def fullness(self) -> float:
        """Its length over what it is gathered to."""

    @property
    def around(self) -> float | None:
        """Its length, instead, mm."""


def whole_asked(
    needs: Needs, options: FullOptions, edge_mm: float, multiple_of: MultipleOf = "waist"
) -> float:
    """The length of an edge that is gathered to another so long; a fault if it is shorter."""
    if options.around is None:
        more_mm = 2 * _opening(needs) if multiple_of == "waist and opening" else 0.0
        return (edge_mm + more_mm) * needs.gathers("fullness", options.fullness)
    if options.around < edge_mm and not needs.faults:
        needs.refuse(
            "around",
            f"{needs.told(options.around)} round is shorter than what it is sewn to, which is "
            f"{needs.told(edge_mm)}.",
            f"Give {needs.told(edge_mm)} or more, or take around out and give a fullness.",
        )
    return options.around


def _opening(needs: Needs) -> float:
    bodice = needs.context.bodice
    if bodice is None:
        return _OPENING_MM
    return bodice.opening_mm if bodice.front.opens or bodice.back.opens else 0.0


def line_of(needs: Needs, line_mm: float) -> tuple[float, Layer]:
    """How long a line is so far below the waist on the lining of the skirt before; that lining.

    Raises
    ------
    OrderFault : there is none, or it ends above
    """
    layer = needs.context.layer
    if layer is None:
        needs.refuse(
            "line",
            "No skirt before it has a lining, or a cloth of its own, that hangs level.",
            "Put a flared or gathered skirt before it without "
            + key("back_longer")
            + ", or take line out.",
        )
    elif line_mm >= layer.long_mm:
        needs.refuse(
            "line",
            f"The {layer.name} ends {needs.told(layer.long_mm)} below the waist seam.",
            "Give less.",
        )
    needs.settle()
    assert layer is not None
    return layer.round_at(line_mm), layer


def on_line(context: DraftContext, line_mm: float, layer: Layer) -> str:
    """What to call that line."""
    return f"line {context.told(line_mm)} below the waist seam on the {layer.name}"
