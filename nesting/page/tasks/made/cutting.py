"""To the cutting table: each cloth step by step, and pages at true size when they are asked for."""

from __future__ import annotations

from pathlib import Path

from nesting.output.paper.tiling import Paper
from nesting.page.table.client import client_page
from nesting.page.table.steps import cutting_of
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.made.choices import gone
from nesting.page.tasks.stored import stored


def cutting(request: Record, _: TaskChannel) -> Record:
    """Every cloth of the job's plan: how to fold it, then where each piece goes, in order."""
    return cutting_of(stored(Path(request["folder"])))


def for_client(request: Record, _: TaskChannel) -> Record:
    """The job's plan as one `page` for the client, with what cloth costs if `prices` are asked."""
    made = stored(Path(request["folder"]))
    return {"page": client_page(made, request.get("prices") is True)}


def print_tiles(request: Record, channel: TaskChannel) -> Record:
    """The pieces, and each cloth's layout, at true size on pages of `paper`."""
    from nesting.output.paper.tiles import marker_tiles, pieces_tiles
    from nesting.output.write import plan_files

    folder = Path(request["folder"])
    made = stored(folder)
    if request.get("paper") not in list(Paper):
        raise gone("paper")
    paper = Paper(request["paper"])
    names = plan_files(made, paper)
    for number, entry in enumerate(made.fabrics):
        channel.tell({"spent": number / (len(made.fabrics) + 1), "at": f"drawing {entry.title}"})
        content = marker_tiles(made.order, entry, paper, made.unit)
        (folder / names[entry.title]["tiles"]).write_bytes(content)
    pages = pieces_tiles(made.order, made.pieces, made.unit, paper)
    (folder / f"pieces-{paper}.pdf").write_bytes(pages)
    return {"files": sorted(path.name for path in folder.iterdir() if path.suffix != ".pickle")}
