"""Messages that speak of a file's keys or of a command, as one who looks at the page has them."""

from __future__ import annotations

import json
import re

from nesting.page.tasks.channel import Record
from pieces.errors import Fault

_ON_THE_PAGE = tuple(
    (re.compile(written), told)
    for written, told in (
        # commands
        (r'such as --width 115 or --width "58 in"', "such as 115 or 58 in"),
        (
            r"(Give it another name, or n|N)ame another folder with --out.*",
            "The page draws in this computer's folder for temporary files: make room there, "
            "then try again.",
        ),
        # tables of the file
        (r"Add units = .*", "Choose your unit at the top."),
        (
            r"Add a garment in a table .*",
            "Add a cloth, then a wearer with a part, or a ready piece.",
        ),
        (r"Add what is to be drafted for it in a table .*", "Add a part to it."),
        (r"Add what to draft, such as .*", "Choose what to draft, or add a drawing."),
        (r"Add the cloth it is cut from, such as .*", "Choose one of the cloths, or add one."),
        (r"Add a table \[.*\], or name a cloth it has\.", "Choose one of the cloths, or add one."),
        (r"Add its points, such as .*", "Add its corners."),
        (r"Add repeat = .* to", "Give the repeat of the print to"),
        (r"Write \{ from = .* \}, or", "Say from where to where it reaches, or"),
        (r" Write across = .*", ""),
        (r", or both: \{.*\}\.", ", or both."),
        (r"Add border = .* to", "Give a border and its depth to"),
        (r", or take (match|motif|border) out\.", ", or clear this field."),
        (
            r"Give two points, from its tail to its head.*",
            "Choose an edge as its thread line.",
        ),
        (r"Give grain = .* beside the file", "Choose “up the drawing” as its thread line"),
        (
            r'Give fold = "left", "right", "top" or "bottom"( beside the file,)?',
            "Choose the side that lies on the fold,",
        ),
        (
            r"Give columns, the number of sheets in a row, and overlap, .*",
            "Give the number of sheets in a row, how much of the next each repeats, and which "
            "pages they are where others lie between.",
        ),
        (r"Print one with metrage trace --sheet a4 \(or letter\),", "Print the sheet,"),
        (r", and join them with --join\.", ", and choose them all."),
        (r'layer = "([^"]*)" takes it\.', r"Give \1 as its size to take it."),
        (
            r'Give a piece of points seams = "side: 2-3", and',
            "Give a piece of points its seams, as side: 2-3, and",
        ),
        (r"Say which is wanted with layer = .* beside the file:", "Say which size is wanted:"),
        (r"give unit = .* beside the file", "choose the unit of the drawing"),
        (r", in a table \[\[notion\]\] of its name;", ", among the notions;"),
        (r"Say how much: edge = .* or count = 6\.", "Say how much: an edge, a length or a count."),
        (r"Add edge = .*, or fabric = .* to cut", "Name an edge, or choose a cloth to cut"),
        (r"Add the edge it goes along, .*", "Name the edge it goes along, and of which pieces."),
        (r"Write sizes = \[(.*)\]\.", r"Write \1."),
        (r"Add a word of their names, such as of = .*", "Add a word of their names."),
        (r"Put a part with draft = \"(\w+)\"", r"Put a \1"),
        (r"Write one of these, in quotes\.", "Choose one of these."),
        (r"Take the line out", "Tick no lay"),
        (r"Write lays = .*, or take the line out", "Tick one, or none"),
        (r"This key is ", "This is "),
        # keys
        (r" in quotes, such as", ", such as"),
        (r'such as \w+ = "([^"]*)"', r"such as \1"),
        (r', such as \w+ = "?([^"\[]*?)"?\.$', r", such as \1."),
        (r'\b([Ww])rite (\w+) = "([^"]*)"', lambda m: f"{_choose(m[1])} “{m[3]}” for {m[2]}"),
        (r"\b([Ww])rite (\w+) = (\d+)", lambda m: f"{_choose(m[1])} {m[3]} for {m[2]}"),
        (r": (\w+) = (\d+)\.$", r": \2 for \1."),
        (r"(?<=[a-z])_(?=[a-z])", " "),
    )
)

_STEP = re.compile(r'([A-Za-z0-9_-]+)|("(?:[^"\\]|\\.)*")|\[(\d+)\]')


def _choose(letter: str) -> str:
    return "Choose" if letter == "W" else "choose"


def on_the_page(text: str) -> str:
    """A message or a remedy in the words of the page.

    >>> on_the_page('Give a shorter strip_length, or write waist = "natural".')
    'Give a shorter strip length, or choose “natural” for waist.'
    """
    for written, told in _ON_THE_PAGE:
        text = written.sub(told, text)
    return text


def fault_data(fault: Fault) -> Record:
    """A fault as the page shows it: at the field of its path, from the top of the order."""
    return {
        "key": fault.key,
        "path": path_of(fault.key),
        "message": on_the_page(fault.message),
        "remedy": on_the_page(fault.remedy),
    }


def path_of(key: str) -> list[str | int]:
    """The steps of a key's path; none for a place in the text.

    >>> path_of('garment[2].part[0].fullness'), path_of('fabric."printed cotton".width')
    (['garment', 2, 'part', 0, 'fullness'], ['fabric', 'printed cotton', 'width'])
    >>> path_of("line 3, column 4")
    []
    """
    if key.startswith("line "):
        return []
    steps: list[str | int] = []
    for bare, quoted, index in _STEP.findall(key):
        steps.append(int(index) if index else json.loads(quoted) if quoted else bare)
    return steps
