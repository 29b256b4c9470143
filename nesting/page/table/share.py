"""A plan as one file for the cutting table: it needs no server and no network."""

from __future__ import annotations

import base64
import hashlib
import html
import json
from collections.abc import Callable

from nesting.fabric.plans import Plan
from nesting.output.report.shopping import shopping_list
from nesting.page.table.bundle import script, static, styles
from nesting.page.table.digest import digest
from nesting.page.table.shapes import Record
from nesting.page.table.steps import cutting_of

SHARED_FILE = "cutting-table.html"
_PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<title>{title} · to cut</title>
<link rel="icon" href="data:image/svg+xml;base64,{icon}">
<style>{style}</style>
</head>
<body class="cut shared">
<header class="top"><span class="brand">metrage</span><div class="top-tools">{title}</div></header>
<main><section id="cut" aria-label="Cut step by step"></section>
<section id="lists" aria-label="Lists"></section></main>
<noscript><p class="note">Whatever shows this file runs no scripts. Save it, then open it with a
browser.</p></noscript>
<script type="application/json" id="plan-data">{data}</script>
<script>{script}</script>
</body>
</html>
"""


def shared_page(made: Plan, worded: Callable[[str], str] = str) -> bytes:
    """Steps, drawings, what to buy and what to mind of a plan, as one page in HTML.

    It loads nothing, and lets nothing but its own script run (CSP level 3, by digest). The order
    and its bodies are not in it; a doubt about a measure says that one in words. `worded` says a
    finding for whoever reads it.
    """
    code, style = script("share"), styles("tokens", "base", "bench", "cut")
    policy = (
        f"default-src 'none'; img-src data:; base-uri 'none'; form-action 'none'; "
        f"script-src '{digest(code)}'; style-src '{digest(style)}'"
    )
    page = _PAGE.format(
        policy=policy,
        title=html.escape(made.order),
        icon=base64.b64encode(static("icon.svg").encode()).decode(),
        style=style,
        data=_json(_data(made, worded)),
        script=code,
    )
    return page.encode()


def _data(made: Plan, worded: Callable[[str], str]) -> Record:
    return {
        "key": hashlib.sha256(repr([one.marker for one in made.fabrics]).encode()).hexdigest()[:16],
        "cutting": cutting_of(made),
        "shopping": shopping_list(made),
        "findings": [worded(one.message) for one in made.findings],
    }


def _json(data: Record) -> str:
    """As it may stand in a script element: what would end that is written otherwise."""
    return json.dumps(data, separators=(",", ":"), allow_nan=False).replace("<", "\\u003c")
