"""Slips of the pen that keep a file from being read as TOML, each with what to write instead."""

from __future__ import annotations

import re
import tomllib

from nesting.order.faults import joined

USUAL = (
    "Look here and just before for a missing quote, bracket or equals sign, or a key given twice."
)
_LONGEST = 120
_HEADING = re.compile(r"""(?P<open>\[+)(?P<name>[^][#"']+)(?P<close>]+)""")
_CURLY = re.compile("[“”„«»‘’‚]")
_COMMA = re.compile(r"[0-9]+,[0-9]+")
_BARE = re.compile(r"""[^][{}#"']+""")


def remedy(line: str) -> str:
    """What to write in a line that can't be understood; where to look, if that is not plain.

    >>> remedy("[fabric.wool blend]")
    'A name of several words stands in quotes: write [fabric."wool blend"].'
    >>> remedy("price = 12,50")
    'Numbers have a point: write price = 12.50.'
    >>> remedy("sold_by = 10 cm  # the shop")
    'What is no plain number stands in quotes: write sold_by = "10 cm".'
    """
    plain = line.strip()
    if len(plain) > _LONGEST or not plain.isprintable():
        return USUAL
    found = _HEADING.fullmatch(plain.split("#")[0].strip())
    if found is not None:
        steps = [step.strip() for step in found["name"].split(".")]
        named = joined("", *steps)
        if named != found["name"].strip() and steps[0] == "fabric":
            whole = f"{found['open']}{named}{found['close']}"
            return f"A name of several words stands in quotes: write {whole}."
    key, equals, value = (part.strip() for part in plain.partition("="))
    return _of_value(key, value) if key and equals and not _is_read(plain) else USUAL


def _is_read(line: str) -> bool:
    try:
        tomllib.loads(line)
    except ValueError:
        return False
    return True


def _of_value(key: str, value: str) -> str:
    bare = value.split("#")[0].strip()
    if _CURLY.search(value):
        return f"Quotes are straight ones: write {_line(key, _CURLY.sub(chr(34), value))}."
    if _COMMA.fullmatch(bare):
        return f"Numbers have a point: write {_line(key, bare.replace(',', '.'))}."
    if _BARE.fullmatch(bare):
        quoted = f'"{bare}"'
        return f"What is no plain number stands in quotes: write {_line(key, quoted)}."
    return USUAL


def _line(key: str, value: str) -> str:
    return " ".join((key, "=", value))
