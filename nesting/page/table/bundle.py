"""The page's own scripts and styles as one text each, for a page that stands by itself."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib import resources

_IMPORT = re.compile(r'^import \{([^}]*)\} from "\./([\w-]+)\.js";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:const|function|class) )", re.MULTILINE)
_NAME = re.compile(r"^export (?:async )?(?:const|function|class) (\w+)", re.MULTILINE)
_COMMENT = re.compile(r"^\s*//.*\n", re.MULTILINE)


def script(entry: str) -> str:
    """A module and all that it imports: each in a function, after those that it needs.

    The scripts are written so that this works: every import names what it takes, from a module
    of the same folder; every export stands before a const, a function or a class.
    """
    return '"use strict";\nconst modules = {};\n' + "\n".join(_wrapped(entry, set()))


def _wrapped(name: str, known: set[str]) -> Iterator[str]:
    known.add(name)
    text = _COMMENT.sub("", static(f"{name}.js"))
    for _, other in _IMPORT.findall(text):
        if other not in known:
            yield from _wrapped(other, known)
    names = ", ".join(_NAME.findall(text))

    def taken(match: re.Match[str]) -> str:
        return f'const {{{match[1].replace(" as ", ": ")}}} = modules["{match[2]}"];\n'

    body = _EXPORT.sub("", _IMPORT.sub(taken, text))
    yield f'modules["{name}"] = (() => {{\n{body}return {{ {names} }};\n}})();'


def styles(*names: str) -> str:
    """Style sheets one after the other."""
    return "\n".join(static(f"{name}.css") for name in names)


def static(name: str) -> str:
    """The text of a file of the page's own."""
    place = resources.files("nesting.page").joinpath("static", name)
    return place.read_text(encoding="utf-8")
