"""What is cut from cloth in hand, and whether it is enough: in words and as data."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from nesting.fabric.fabric import Bolt
from nesting.fabric.plans import FabricPlan
from nesting.fabric.purchase import asked_for_length
from nesting.output import words
from nesting.output.files.data import bolt_data, plan_data, purchase_data, remnant_data
from nesting.output.report.report import in_hand_lines, to_buy_lines
from nesting.output.report.text import heading, paragraph, section, table
from nesting.output.search_words import searched
from nesting.stock.stock import left_of
from nesting.studies.enough import WayOut
from nesting.studies.sharing import Enough, Sharing
from pieces.units import Unit, format_kept, format_needed

Record = dict[str, Any]


def sharing_report(sharing: Sharing) -> str:
    """Which garment comes out of which bolt, what is kept, and whether it is enough."""
    plan, unit = sharing.plan, words.tape(sharing.plan.unit)
    lines = [heading(f"Cloth in hand: {plan.order}", "=")]
    lines += section("Out of what is in hand", in_hand_lines(plan, unit) or [_NOTHING])
    lines += section("Garment by garment", _garments(sharing))
    lines += section("Bolts and remnants", _bolts(sharing, unit))
    lines += section("Is it enough?", _answers(sharing, unit))
    lines += section("To buy", to_buy_lines(plan, unit))
    whole = ", ".join(sharing.whole) or "none"
    lines += ["", paragraph(f"Garments for which nothing must be bought: {whole}.", "")]
    lines += section("Worth knowing", map(paragraph, words.messages(plan.findings)))
    lines += section("Take care", (paragraph(text) for text in plan.cautions))
    lines += ["", searched(plan.seconds, plan.seed, plan.ended)]
    return "\n".join(lines)


_NOTHING = "Nothing is cut from what is in hand."


def _garments(sharing: Sharing) -> list[str]:
    """A table of where each garment's cloths come from."""
    fabrics = list(dict.fromkeys(source.fabric for source in sharing.sources))
    where = {(s.garment, s.fabric): s.bolt.name if s.bolt else "buy" for s in sharing.sources}
    garments = list(dict.fromkeys(source.garment for source in sharing.sources))
    rows = [[name, *(where.get((name, fabric), "") for fabric in fabrics)] for name in garments]
    return table(["", *fabrics], rows)


def _bolts(sharing: Sharing, unit: Unit) -> list[str]:
    """A table of every bolt in hand: how much of it is used, and what is kept."""
    rows = [
        [
            entry.title,
            format_kept(entry.bolt.length_mm, unit),
            format_kept(entry.bolt.width_mm, unit),
            format_needed(entry.marker.length_mm, unit),
            _kept(entry, unit),
        ]
        for entry in sharing.plan.fabrics
        if entry.bolt is not None
    ]
    for answer in sharing.enough:
        for bolt in answer.unused:
            size = [format_kept(mm, unit) for mm in (bolt.length_mm, bolt.width_mm)]
            rows.append([f"{answer.fabric}, {bolt.name}", *size, "nothing", "all of it"])
    if not rows:
        return [paragraph("The order has no cloth in hand; give it in a fabric's in_hand.", "")]
    lines = table(["", "long", "wide", "used", "kept"], rows)
    cut = [entry.fabric for entry in sharing.plan.fabrics if entry.bolt is not None]
    if any(cloth.shrinkage_length or cloth.end_allowance_mm for cloth in cut):
        lines.append(paragraph("Used and kept: of cloth that is washed, its ends squared.", ""))
    return lines


def _kept(entry: FabricPlan, unit: Unit) -> str:
    """The end past the pieces, or else the largest piece of cloth between them."""
    kept = left_of(entry)
    return words.size(kept[0], unit) if kept else "scraps"


def _answers(sharing: Sharing, unit: Unit) -> Iterable[str]:
    for answer in sharing.enough:
        if answer.bought is None:
            yield paragraph(f"{answer.fabric}: yes.{_spared(sharing, answer, unit)}")
            continue
        more = words.buy(answer.bought)
        whose = ", ".join(answer.missing)
        spared = _spared(sharing, answer, unit)
        yield paragraph(f"{answer.fabric}: no. Buy {more} for {whose}.{spared} Or:")
        for way in answer.ways_out:
            yield paragraph(_way(way), "    - ")
        if not answer.ways_out:
            yield paragraph("nothing else was found that would do", "    - ")


def _spared(sharing: Sharing, answer: Enough, unit: Unit) -> str:
    """What more would be bought if every garment were cut by itself, if it is more."""
    own = next((one for one in sharing.plan.fabrics if one.fabric.name == answer.fabric), None)
    apart_mm = None if own is None else own.one_by_one_mm
    bought_mm = 0.0 if answer.bought is None else answer.bought.purchase.length_mm
    if own is None or apart_mm is None or apart_mm <= bought_mm:
        return ""
    asked = asked_for_length(own.fabric, apart_mm)
    return f" Cut one by one, the garments would need {asked} bought."


def _way(way: WayOut) -> str:
    lays = ", ".join(words.LAY[lay] for lay in way.lays)
    joins = f", {way.joins} more join{'' if way.joins == 1 else 's'}" if way.joins > 0 else ""
    rest = "then it is enough" if way.bought is None else f"then buy {way.bought.text}"
    return f"{way.what}{joins} ({lays}): {rest}"


def sharing_data(sharing: Sharing, files: Mapping[str, Mapping[str, str]]) -> Record:
    """What bolts.json holds: the keys of plan.json, and those of this question."""
    return plan_data(sharing.plan, files) | {
        "garments": [
            {
                "garment": source.garment,
                "fabric": source.fabric,
                "bolt": None if source.bolt is None else source.bolt.name,
            }
            for source in sharing.sources
        ],
        "whole_garments": list(sharing.whole),
        "bolts": [
            _bolt(sharing, answer, bolt) for answer in sharing.enough for bolt in answer.in_hand
        ],
        "enough": [_enough(answer) for answer in sharing.enough],
    }


def _bolt(sharing: Sharing, answer: Enough, bolt: Bolt) -> Record:
    """One bolt in hand: what is cut from it and what is kept."""
    cut = [
        entry
        for entry in sharing.plan.fabrics
        if entry.fabric.name == answer.fabric and entry.bolt == bolt
    ]
    return bolt_data(bolt) | {
        "fabric": answer.fabric,
        "used_mm": round(cut[0].marker.length_mm, 6) if cut else 0.0,
        "garments": [
            source.garment
            for source in sharing.sources
            if source.fabric == answer.fabric and source.bolt == bolt
        ],
        "remnants": [remnant_data(one) for entry in cut for one in entry.remnants],
    }


def _enough(answer: Enough) -> Record:
    bought = answer.bought
    return {
        "fabric": answer.fabric,
        "enough": bought is None,
        "purchase": None if bought is None else purchase_data(bought.purchase),
        "missing": list(answer.missing),
        "ways_out": [
            {
                "what": way.what,
                "lays": [lay.value for lay in way.lays],
                "joins": way.joins,
                "enough": way.bought is None,
                "purchase": None if way.bought is None else purchase_data(way.bought),
            }
            for way in answer.ways_out
        ],
    }
