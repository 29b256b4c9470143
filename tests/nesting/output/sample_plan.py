"""Plans made by hand for the writers' tests; placed by arithmetic of its own."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal

from nesting.fabric.fabric import Fabric, LayName, Nap, Price
from nesting.fabric.marker import Marker, Placement
from nesting.fabric.plans import ComparedLay, FabricPlan, Plan, Purchase, Remnant
from pieces.piece import Finding, GrainRule, Notch, Outline, Piece, Seam, SeamCheck
from pieces.units import Unit


def _bow(start, end, sag, count=12):
    """Points of a shallow arc from start to end, ends left out, bulging to the right by sag."""
    (x0, y0), (x1, y1) = start, end
    length = math.dist(start, end)
    nx, ny = (y1 - y0) / length, -(x1 - x0) / length
    points = []
    for i in range(1, count):
        t = i / count
        lift = 4 * sag * t * (1 - t)
        points.append((x0 + t * (x1 - x0) + lift * nx, y0 + t * (y1 - y0) + lift * ny))
    return points


def skirt_front(garment: str, fabric: str, length=560.0, hem=320.0, waist=150.0) -> Piece:
    """Half a flared skirt on the fold, its hem at x = 0 in the middle."""
    corners = [(0.0, 0.0), (length, 0.0), (length + 10, waist), (45.0, hem)]
    outline = (*corners, *_bow((45.0, hem), (0.0, 0.0), 8.0))
    sewing = ((25.0, 0.0), (length - 10, 0.0), (length - 1, waist - 10), (68.0, hem - 12))
    shift = -min(x for x, _ in outline)
    piece = Piece(
        name="skirt front",
        fabric=fabric,
        garment=garment,
        outline=tuple((x + shift, y) for x, y in outline),
        grain=((100.0 + shift, 60.0), (400.0 + shift, 60.0)),
        on_fold=((0.0 + shift, 0.0), (length + shift, 0.0)),
        sewing_line=tuple((x + shift, y) for x, y in sewing),
        notches=(Notch((45.0 + shift + 0.6 * (length - 35), hem + 0.6 * (waist - hem)), -108.0),),
        seams=(Seam("waist", ((length, 0.0), (length, waist - 10))),),
    )
    return piece


def skirt_back(garment: str, fabric: str) -> Piece:
    outline = ((0.0, 0.0), (560.0, 0.0), (570.0, 160.0), (45.0, 330.0))
    sewing = ((25.0, 10.0), (550.0, 10.0), (559.0, 150.0), (68.0, 318.0))
    return Piece("skirt back", fabric, outline, ((100, 60), (400, 60)), None, 1, True,
                 garment=garment, sewing_line=sewing,
                 drawn_lines=(((300.0, 60.0), (450.0, 75.0), (300.0, 90.0)),))  # fmt: skip


def bodice_front(garment: str, fabric: str, cut: int = 1) -> Piece:
    outline = (
        (0.0, 0.0), (230.0, 0.0),
        *_bow((230.0, 0.0), (290.0, 60.0), -14.0),
        (290.0, 60.0), (272.0, 130.0),
        *_bow((272.0, 130.0), (150.0, 170.0), -22.0),
        (150.0, 170.0), (0.0, 160.0),
    )  # fmt: skip
    return Piece("bodice front", fabric, outline, ((30, 40), (200, 40)),
                 ((0.0, 0.0), (230.0, 0.0)), cut, garment=garment,
                 notches=(Notch((75.0, 165.0), -90.0),))  # fmt: skip


def bodice_back(garment: str, fabric: str) -> Piece:
    outline = (
        (0.0, 0.0), (270.0, 0.0), (290.0, 60.0), (275.0, 130.0),
        *_bow((275.0, 130.0), (150.0, 168.0), -20.0),
        (150.0, 168.0), (0.0, 158.0),
    )  # fmt: skip
    return Piece("bodice back", fabric, outline, ((30, 40), (200, 40)), None, 1, True,
                 garment=garment)  # fmt: skip


def sleeve(garment: str, fabric: str) -> Piece:
    cap = [(90 + 90 * math.sin(math.pi * i / 16) ** 1.4, 260 * i / 16) for i in range(1, 16)]
    outline = ((0.0, 20.0), (90.0, 0.0), *cap, (90.0, 260.0), (0.0, 240.0))
    return Piece("puff sleeve", fabric, outline, ((20, 130), (150, 130)), None, 1, True,
                 garment=garment)  # fmt: skip


def rectangle(name: str, garment: str, fabric: str, long: float, wide: float, cut=1) -> Piece:
    outline = ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
    grain = ((long * 0.2, wide / 2), (long * 0.8, wide / 2))
    return Piece(name, fabric, outline, grain, None, cut, garment=garment)


def collar(garment: str, fabric: str) -> Piece:
    outer = [(80 - 80 * math.cos(math.pi * i / 14), 55 * math.sin(math.pi * i / 14))
             for i in range(15)]  # fmt: skip
    inner = [(80 + 50 * math.cos(math.pi * i / 10), 28 * math.sin(math.pi * i / 10))
             for i in range(11)]  # fmt: skip
    outline = tuple(reversed(outer + inner))
    return Piece("collar", fabric, outline, ((70, 40), (90, 40)), None, 2, True, garment=garment)


def opened(outline: Outline) -> Outline:
    """A half with its fold edge on y = 0 together with its mirror image."""
    other = [(x, -y) for x, y in reversed(outline) if y != 0]
    start = next(i for i, p in enumerate(outline) if p[1] == 0)
    ring = outline[start:] + outline[:start]
    return (*ring[1:], ring[0], *other)


def put(piece, copy, left, low, turn=0, mirrored=False, *, layers=1, gives=1, spare=0,
        on_fold=False, unfolded=False):  # fmt: skip
    """A placement with the lower left corner of its box at (left, low)."""
    angle = math.radians(turn)
    outline = opened(piece.outline) if unfolded else piece.outline
    flipped = [(x, -y) if mirrored else (x, y) for x, y in outline]
    turned = [(x * math.cos(angle) - y * math.sin(angle),
               x * math.sin(angle) + y * math.cos(angle)) for x, y in flipped]  # fmt: skip
    dx, dy = left - min(x for x, _ in turned), low - min(y for _, y in turned)
    return Placement(piece.garment, piece.name, copy, gives, spare, layers, "main", 0, on_fold,
                     unfolded, float(turn), mirrored, dx, dy, float(turn),
                     tuple((x + dx, y + dy) for x, y in turned))  # fmt: skip


SATIN = Fabric("red satin", 1500.0, 10.0, Nap.ONE_WAY, shrinkage_length=0.01, end_allowance_mm=20.0,
               price=Price(Decimal("7.90"), "EUR", 1000.0), sold_by_mm=100.0,
               minimum_mm=1400.0)  # fmt: skip
TULLE = Fabric("white tulle", 1400.0, 0.0, shrinkage_length=0.0, gap_mm=2.0)


def _satin() -> FabricPlan:
    name = SATIN.name
    fold = {"on_fold": True, "layers": 2}
    pair = {"layers": 2, "gives": 2}
    front, back = skirt_front("Dora", name), skirt_back("Dora", name)
    top, behind = bodice_front("Dora", name), bodice_back("Dora", name)
    small, arm = collar("Dora", name), sleeve("Dora", name)
    sash = rectangle("sash", "Dora", name, 700.0, 60.0, 2)
    pocket = rectangle("pocket", "Mila", name, 90.0, 80.0)
    loop = rectangle("button loop", "Mila", name, 60.0, 18.0, 2)
    mila_top, mila_arm = bodice_front("Mila", name), sleeve("Mila", name)
    pieces = (front, back, top, behind, arm, small, sash, pocket, loop, mila_top, mila_arm)
    placements = (
        put(front, 1, 0, 0, **fold),
        put(back, 1, 0, 330, **pair),
        put(sash, 1, 0, 672, **pair),
        put(top, 1, 582, 0, **fold),
        put(behind, 1, 590, 180, **pair),
        put(arm, 1, 590, 360, **pair),
        put(small, 1, 780, 362, **pair),
        put(small, 2, 780, 425, **pair),
        put(pocket, 1, 780, 490, layers=2, spare=1),
        put(loop, 1, 880, 490, **pair),
        put(mila_top, 1, 885, 0, **fold),
        put(mila_arm, 1, 960, 190, **pair),
    )
    marker = Marker(name, LayName.LENGTHWISE_FOLD, 1175.0, placements)
    purchase = Purchase(
        1400.0, "1.40 m (1 5/8 yd)", Decimal("11.06"), "EUR",
        ("The marker takes 117.5 cm of washed cloth.",
         "The cloth shrinks by 1 % in length, so that is 118.7 cm before washing.",
         "Squaring the ends takes 2 cm more: 120.7 cm.", "The shop sells no less than 140 cm."),
    )  # fmt: skip
    lays = (
        ComparedLay(LayName.LENGTHWISE_FOLD, 1500, 1175, 1050, 1400, Decimal("11.06"), 27.31, 12,
                    14.2),
        ComparedLay(LayName.OPEN, 1500, 1160, 1050, 1400, Decimal("11.06"), 26.4, 20, 25.3),
    )  # fmt: skip
    return FabricPlan(SATIN, marker, 1175.0, 1050.0, True, purchase, 27.31, 39.4, 12, 14.2,
                      (Remnant(1175.0, 0.0, 205.0, 740.0, 2),), lays, pieces)  # fmt: skip


def _tulle() -> FabricPlan:
    name = TULLE.name
    front, back = skirt_front("Dora", name), skirt_back("Dora", name)
    top = bodice_front("Mila", name)
    band = rectangle("waistband", "Mila", name, 640.0, 70.0)
    bias = replace(rectangle("bias strip", "Mila", name, 300.0, 40.0, 2),
                   grain_rule=GrainRule.BIAS)  # fmt: skip
    frill = rectangle("neck frill", "Dora", name, 400.0, 32.0, 2)
    pieces = (front, back, top, band, bias, frill)
    placements = (
        put(front, 1, 0, 0, unfolded=True),
        put(back, 1, 0, 650),
        put(back, 2, 20, 990, mirrored=True),
        put(top, 1, 600, 0, 180, unfolded=True),
        put(band, 1, 600, 360, 0),
        put(bias, 1, 590, 700, 45),
        put(bias, 2, 660, 700, 45),
        put(frill, 1, 600, 980, 90),
        put(frill, 2, 640, 980, 90),
    )
    marker = Marker(name, LayName.OPEN, 1240.0, placements)
    purchase = Purchase(1240.0, "1.24 m (1 3/8 yd)", None, "",
                        ("The marker takes 124 cm of cloth.",))  # fmt: skip
    remnants = (Remnant(900.0, 450.0, 340.0, 950.0, 1),)
    return FabricPlan(TULLE, marker, 1240.0, 1100.0, False, purchase, 41.2, 41.2, 9, 16.9,
                      remnants, (), pieces)  # fmt: skip


def sample_plan(unit: Unit = Unit.CM) -> Plan:
    """Two cloths, one folded and one open; pieces on the fold, paired, opened out, mirrored."""
    fabrics = (_satin(), _tulle())
    return Plan(
        order="choir concert dresses",
        unit=unit,
        seed=7,
        seconds=12.34,
        fabrics=fabrics,
        pieces=tuple(piece for entry in fabrics for piece in entry.pieces),
        seam_checks=(
            SeamCheck("waist of bodice to waist of skirt", "Dora", 540.0, 540.5, 2.0),
            SeamCheck("sleeve head to armhole", "Mila", 342.0, 330.0, 5.0),
        ),
        findings=(Finding("narrow-piece", "button loop (Mila) is only 1.8 cm wide."),),
        cautions=("Wearers under three: no loose beads.",),
    )


def many_pieces(fabric: Fabric = TULLE, lay: LayName = LayName.OPEN, unit: Unit = Unit.CM) -> Plan:
    """Forty pieces: on six metres of cloth laid open, or on twelve metres of it folded."""
    name = fabric.name
    lows = (0.0, 340.0, 690.0, 1040.0) if lay is LayName.OPEN else (10.0, 380.0)
    layers = 1 if lay is LayName.OPEN else 2
    pieces, placements = [], []
    for index in range(40):
        garment = ("Dora", "Mila", "Ines")[index % 3]
        made = (
            skirt_front(garment, name), skirt_back(garment, name), bodice_back(garment, name),
            sleeve(garment, name), rectangle("hem band", garment, name, 480.0, 45.0),
        )[index % 5]  # fmt: skip
        number = f"{made.name} {index // 5 + 1}"
        made = replace(made, name=number, pair=False, on_fold=None)
        pieces.append(made)
        left = index // len(lows) * 600.0
        placements.append(put(made, 1, left, lows[index % len(lows)], layers=layers))
    length = max(x for p in placements for x, _ in p.outline_mm)
    marker = Marker(name, lay, length, tuple(placements))
    purchase = Purchase(6100.0, "6.10 m (6 3/4 yd)", None, "", ("All pieces in a row.",))
    entry = FabricPlan(fabric, marker, length, 5000.0, False, purchase, 45.0, 46.0, 40, 60.1,
                       (), (), tuple(pieces))  # fmt: skip
    return replace(sample_plan(unit), fabrics=(entry,), pieces=tuple(pieces))


def two_pieces() -> Plan:
    """Two pieces on thirty centimetres of cloth."""
    name = SATIN.name
    one, other = bodice_front("Dora", name), bodice_back("Dora", name)
    placements = (
        put(one, 1, 0, 0, on_fold=True, layers=2),
        put(other, 1, 5, 200, layers=2, gives=2),
    )
    marker = Marker(name, LayName.LENGTHWISE_FOLD, 295.0, placements)
    purchase = Purchase(300.0, "0.30 m (3/8 yd)", Decimal("2.37"), "EUR", ("Thirty.",))
    entry = FabricPlan(SATIN, marker, 295.0, 290.0, False, purchase, 60.0, 61.0, 2, 1.9,
                       (), (), (one, other))  # fmt: skip
    return replace(sample_plan(), fabrics=(entry,), pieces=(one, other))
