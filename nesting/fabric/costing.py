"""What an order says of work and prices: the rate, minutes, overhead, margin and tax."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class CutterMinutes:
    """How long a cutter's work takes, in minutes; what stands here is a guess, from memory.

    Attributes
    ----------
    fold : laying one fold and squaring it; opening the cloth out is another
    outline : pinning or weighting one outline
    metre : cutting one metre of line
    join : sewing one join of a strip
    """

    fold: Decimal = Decimal(4)
    outline: Decimal = Decimal("1.5")
    metre: Decimal = Decimal(1)
    join: Decimal = Decimal(3)

    def spent(self, folds: int, outlines: int, metres: float, joins: int = 0) -> Decimal:
        """Minutes at a layout; where its end is opened out, that counts as a fold.

        >>> CutterMinutes().spent(1, 10, 6.0)
        Decimal('25.0')
        """
        long = Decimal(repr(round(metres, 1)))
        return self.fold * folds + self.outline * outlines + self.metre * long + self.join * joins


@dataclass(frozen=True, slots=True)
class Handling:
    """What a cutter's minute costs, and how many minutes each thing takes."""

    minute: Decimal
    each: CutterMinutes


@dataclass(frozen=True, slots=True)
class Done:
    """A piece of work done before, from which minutes are learned: how many parts, how long."""

    parts: int
    minutes: Mapping[str, Decimal]


@dataclass(frozen=True, slots=True, kw_only=True)
class Costing:
    """How a price is reckoned; money and percent as exact decimals.

    Attributes
    ----------
    currency : of all amounts; what is bought in another is not added
    rate : for an hour of work
    minutes : of each stage, for each garment; `own` are those of one garment, by its name
    done : works from which the minutes of other stages are learned
    overhead : percent added to materials and work
    margin : percent of the price before tax that is profit
    tax : percent added to that price
    brought : cloths that the client may bring; all if none is named
    amounts : how an amount is written, as "1,234.56"
    cutter : how long folding, pinning, cutting and joining take
    """

    currency: str
    rate: Decimal = Decimal(0)
    minutes: Mapping[str, Decimal] = field(default_factory=dict)
    own: Mapping[str, Mapping[str, Decimal]] = field(default_factory=dict)
    done: tuple[Done, ...] = ()
    overhead: Decimal = Decimal(0)
    margin: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)
    brought: tuple[str, ...] = ()
    amounts: str = "1,234.56"
    cutter: CutterMinutes = CutterMinutes()

    def money(self, amount: Decimal) -> str:
        """An amount as this order writes it, with its currency.

        >>> Costing(currency="EUR", amounts="1.234,56").money(Decimal("1234.5"))
        '1.234,50 EUR'
        """
        thousands, point = self.amounts[1], self.amounts[5]
        plain = f"{amount:,.2f}".replace(",", "\0").replace(".", point)
        return f"{plain.replace(chr(0), thousands)} {self.currency}"
