"""Sewing notes as plain text, at most 88 columns: a part for each garment."""

from __future__ import annotations

from nesting.fabric.plans import Plan
from nesting.notes.notes import GarmentNotes, Section, notes_of
from nesting.output.report.text import heading, paragraph


def notes_text(plan: Plan) -> str:
    """The notes on every garment, one after another."""
    return "\n\n\n".join(map(_garment, notes_of(plan)))


def _garment(notes: GarmentNotes) -> str:
    lines = [heading(f"Sewing notes: {notes.garment}", "=")]
    for section in notes.sections:
        lines += ["", heading(section.title, "-"), *_lines(section)]
    return "\n".join(lines)


def _lines(section: Section) -> list[str]:
    figures = len(str(len(section.lines)))
    return [
        paragraph(line, f"{number:>{figures}}. " if section.numbered else "- ")
        for number, line in enumerate(section.lines, start=1)
    ]
