"""What may come in, and what the browser may do with what goes out.

The server listens on the loopback alone; that does not keep out pages of the web that the same
browser shows. So every request must be addressed to this server by its own name, and whatever
changes something must come from its own pages.
"""

from __future__ import annotations

from collections.abc import Collection

from flask import Flask, Response, abort, request

LARGEST_BYTES = 12_000_000
"""A request with an order and its drawings."""
_READS = ("GET", "HEAD")
_POLICY = {
    "default-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' data: blob:",
    "connect-src": "'self'",
    "base-uri": "'none'",
    "form-action": "'none'",
    "frame-ancestors": "'none'",
}
_HEADERS = {
    "Content-Security-Policy": "; ".join(f"{name} {value}" for name, value in _POLICY.items()),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-store",
}


def guard(app: Flask, hosts: Collection[str]) -> None:
    """Let only requests through that are addressed to one of `hosts`, "name:port" each."""
    app.config["MAX_CONTENT_LENGTH"] = LARGEST_BYTES
    app.before_request(lambda: _look_at_request(hosts))
    app.after_request(_seal)


def _look_at_request(hosts: Collection[str]) -> None:
    if request.headers.get("Host", "") not in hosts:
        abort(421)  # RFC 9110, 15.5.20: not a host that this server answers for
    if request.method in _READS:
        if not _may_read():
            abort(403)
        return
    if request.headers.get("Origin") != f"http://{request.headers['Host']}":
        abort(403)
    if request.mimetype != "application/json":
        abort(415)


def _may_read() -> bool:
    """Whether a request to read comes from our own pages or from the address bar.

    Browsers say so (Fetch Metadata, W3C); what says nothing is no browser, and free to read.
    """
    site = request.headers.get("Sec-Fetch-Site", "none")
    if site in ("none", "same-origin"):
        return True
    return request.headers.get("Sec-Fetch-Mode") == "navigate" and request.path == "/"


def _seal(response: Response) -> Response:
    for name, value in _HEADERS.items():
        response.headers.setdefault(name, value)
    return response
