"""Scripts and styles at an address that is another once they are others."""

from __future__ import annotations

from hashlib import blake2b
from importlib import resources

from flask import Response, request

_KEPT_SECONDS = 365 * 86_400


def statics() -> str:
    """The address of their folder, named by what is in it."""
    found = blake2b(digest_size=8)
    for one in sorted(resources.files("nesting.page.static").iterdir(), key=lambda one: one.name):
        if one.is_file():
            found.update(one.name.encode() + b"\0" + one.read_bytes() + b"\0")
    return f"/static/{found.hexdigest()}"


def keep(response: Response) -> Response:
    """Have a browser ask for them once: a newer program has them elsewhere."""
    if request.endpoint == "static" and response.status_code == 200:
        response.cache_control.no_cache = None
        response.cache_control.max_age = _KEPT_SECONDS
        response.cache_control.immutable = True
    return response
