"""Serving the page on this computer alone, until Ctrl-C."""

from __future__ import annotations

import os
import signal
import sys
import webbrowser
from functools import partial
from pathlib import Path
from threading import Thread
from types import FrameType

import click

from nesting.books.folder import VARIABLE
from nesting.page.server.app import create_app
from nesting.page.server.estimates import Estimates
from nesting.page.server.guard import LARGEST_BYTES
from nesting.page.server.jobs import Jobs
from nesting.page.server.shelf import keep
from nesting.page.server.workers import Reader
from nesting.page.shelf.book import Shelf
from pieces.errors import Fault, OrderFault

HOST = "127.0.0.1"
PORT = 8427
"""A browser keeps an order under the address it came from, so the address stays the same."""


def serve_page(port: int, browser: bool, folder: Path) -> None:
    """Serve until Ctrl-C or a termination signal; then all is gone but the shelf in the `folder`.

    Raises
    ------
    OrderFault : the port is taken
    """
    from waitress import create_server

    os.environ[VARIABLE] = str(folder.absolute())  # workers look for books of wearers there
    shelf = Shelf(folder)
    jobs, reader, estimates = Jobs(partial(keep, shelf)), Reader(), Estimates()
    before = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        hosts = {f"{name}:{port}" for name in (HOST, "localhost")}
        try:
            server = create_server(
                create_app(jobs, reader, hosts, estimates, shelf),
                host=HOST,
                port=port,
                threads=16,  # slow questions of a few tabs leave some for the page itself
                ident=None,
                max_request_header_size=16_384,
                max_request_body_size=2 * LARGEST_BYTES,  # what is above the limit is told so
                channel_timeout=60,
                connection_limit=64,
            )
        except OSError as error:
            raise _taken(port, error) from error

        def leave(_: int, __: FrameType | None) -> None:
            # Questions that are pending end with their workers, and hold nothing up.
            signal.signal(signal.SIGINT, signal.SIG_IGN)
            reader.end()
            estimates.end()
            raise SystemExit(0)

        for number in before:
            signal.signal(number, leave)
        address = f"http://{HOST}:{port}/"
        click.echo(f"The page is at {address}")
        click.echo("It is for this computer alone. Ctrl-C ends it.")
        if browser and _has_screen():
            Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        server.run()
        server.close()
    finally:
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # ending is under way, and soon over
        jobs.close()
        reader.end()
        estimates.end()
        for number, handler in before.items():
            signal.signal(number, handler)


def _has_screen() -> bool:
    """Whether a browser would open in a window; one in the terminal would hide the page."""
    if sys.platform in ("win32", "darwin"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def _taken(port: int, error: OSError) -> OrderFault:
    reason = error.strerror or str(error)
    return OrderFault(
        [
            Fault(
                "--port",
                "",
                f"The page can't be served on port {port}: {reason.lower()}.",
                "If the page runs already, use that one; else name another port.",
            )
        ]
    )
