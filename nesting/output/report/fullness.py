"""How full a part can be: the curve in words, as data and as a picture."""

from __future__ import annotations

import io
from typing import Any

from nesting.output import words
from nesting.output.files.data import FORMAT, bolt_data, purchase_data
from nesting.output.report.text import heading, paragraph, section, table
from nesting.output.search_words import searched
from nesting.studies.fullness import RATIOS, By, Fullness, Step
from pieces.units import Unit, format_needed, mm_per

_UNIT = {By.FULLNESS: "fullness", By.LENGTH: "length", By.LAYERS: "layers"}


def fullness_report(fullness: Fullness) -> str:
    """The largest that what is in hand allows, and the table of the curve."""
    unit = words.tape(fullness.unit)
    lines = [heading(f"How full can it be? {fullness.part} in {fullness.fabric}", "="), ""]
    lines.append(paragraph(_answer(fullness), ""))
    lines += section("What each would take", _curve(fullness, unit))
    if fullness.by is By.FULLNESS and not fullness.circle:
        usual = (f"{one.fullness:g} times: {one.used_for} ({one.source})" for one in RATIOS)
        lines += section("Usual in the trade", map(paragraph, usual))
    lines += ["", searched(fullness.seconds, fullness.seed)]
    return "\n".join(lines)


def _answer(fullness: Fullness) -> str:
    if not fullness.in_hand:
        return f"Nothing of {fullness.fabric} is in hand; this is what each would take to buy."
    if fullness.largest is None:
        least = fullness.steps[0].said
        return f"What is in hand is not enough even for {least}, the least that was tried."
    best = fullness.largest
    more = " (the most that was tried)" if best is fullness.steps[-1] else ""
    said = best.said
    if fullness.by is By.FULLNESS and not fullness.circle and best.value > 1:
        said = f"a fullness of {said}"
    return f"What is in hand is enough for {said}{more}."


def _curve(fullness: Fullness, unit: Unit) -> list[str]:
    rows = [
        [
            step.said,
            format_needed(step.length_mm, unit),
            step.purchase.text,
            ("yes" if step.enough else "no") if fullness.in_hand else "",
        ]
        for step in fullness.steps
    ]
    return table([_UNIT[fullness.by], "takes", "to buy, all of it", "in hand is enough"], rows)


def fullness_data(fullness: Fullness) -> dict[str, Any]:
    """What bolts.json holds of this question."""

    def step_data(step: Step) -> dict[str, Any]:
        return {
            "value": step.value,
            "text": step.said,
            "length_mm": round(step.length_mm, 6),
            "purchase": purchase_data(step.purchase),
            "enough": step.enough,
        }

    return {
        "format": FORMAT,
        "order": fullness.order,
        "seed": fullness.seed,
        "seconds": round(fullness.seconds, 6),
        "how_full": {
            "part": fullness.part,
            "by": fullness.by.value,
            "fabric": fullness.fabric,
            "in_hand": [bolt_data(bolt) for bolt in fullness.in_hand],
            "largest": None if fullness.largest is None else step_data(fullness.largest),
            "curve": [step_data(step) for step in fullness.steps],
        },
    }


def draw_fullness(fullness: Fullness) -> bytes:
    """The curve as a PNG: what each value takes, what is in hand, and what the trade uses."""
    from matplotlib.figure import Figure

    metric = words.tape(fullness.unit) is not Unit.IN
    counted = Unit.M if metric else Unit.YD
    scale, name = float(mm_per(counted)), counted.value
    figure = Figure(figsize=(8, 5), layout="constrained", dpi=150)
    axes = figure.subplots()
    values = [_shown(fullness, step.value) for step in fullness.steps]
    bought = [step.purchase.length_mm / scale for step in fullness.steps]
    used = [step.length_mm / scale for step in fullness.steps]
    axes.plot(values, bought, "o-", color="#1f4e79", label="to buy, if nothing were in hand")
    axes.plot(values, used, ":", color="#1f4e79", label="of that the pieces take")
    in_hand = sum(bolt.length_mm for bolt in fullness.in_hand) / scale
    if fullness.in_hand:
        axes.axhline(in_hand, color="#7a7a7a", linestyle="--", label="in hand, all bolts together")
    if fullness.largest is not None:
        best = fullness.largest
        at = (_shown(fullness, best.value), best.purchase.length_mm / scale)
        axes.plot(*at, "s", markersize=11, color="#b5461e", label=f"largest: {best.said}")
    axes.set_ylim(0, 1.6 * max([*bought, in_hand]))
    if fullness.by is By.FULLNESS and not fullness.circle:
        _draw_ratios(axes, values[0], values[-1])
    unit = "" if fullness.by is not By.LENGTH else (" in cm" if metric else " in inches")
    what = "share of a full circle" if fullness.circle else f"{_UNIT[fullness.by]}{unit}"
    axes.set_xlabel(what)
    # Names are the dresser's own, and no formulas whatever signs they have.
    axes.set_ylabel(f"{fullness.fabric} in {name}", parse_math=False)
    axes.set_title(f"{fullness.order}: {fullness.part}", parse_math=False)
    figure.legend(loc="outside lower center", ncols=2)
    buffer = io.BytesIO()
    figure.savefig(buffer, format="png")
    return buffer.getvalue()


def _shown(fullness: Fullness, value: float) -> float:
    if fullness.by is not By.LENGTH:
        return value
    return value / (25.4 if words.tape(fullness.unit) is Unit.IN else 10.0)


def _draw_ratios(axes: Any, low: float, high: float) -> None:
    """What the trade uses, as upright lines with a name each."""
    top = axes.get_ylim()[1]
    for ratio in RATIOS:
        if low <= ratio.fullness <= high:
            axes.axvline(ratio.fullness, color="#c9b98f", linewidth=0.8, zorder=0)
            axes.text(
                ratio.fullness,
                0.985 * top,
                f" {ratio.fullness:g}: {ratio.used_for}",
                rotation=90,
                va="top",
                ha="right",
                fontsize=7,
                color="#6b5d33",
            )
