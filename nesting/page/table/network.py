"""One page served to the home network, under an address that nobody guesses, until Ctrl-C."""

from __future__ import annotations

import secrets
import socket
from collections.abc import Callable
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

_SILENT_SECONDS = 10.0
"""How long a caller may say nothing before it is let go."""
_MOST_AT_ONCE = 16


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    request_queue_size = _MOST_AT_ONCE


def serve_shared(page: bytes, tell: Callable[[str], None], host: str | None = None) -> None:
    """Serve a page to whoever has its address, which is told, until Ctrl-C.

    Whatever else is asked for is answered as if nothing were there.

    Raises
    ------
    OSError : this computer has no network, or it lets nothing be served
    """
    own = host or own_address()
    path = f"/{secrets.token_urlsafe(24)}"
    with _Server((own, 0), _handler(page, path)) as server:
        tell(f"http://{own}:{server.server_address[1]}{path}")
        server.serve_forever(poll_interval=0.2)


def own_address() -> str:
    """The address of this computer on its network.

    Raises
    ------
    OSError : it has none
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        # Nothing is sent: it only says which way to an address for documentation (RFC 5737).
        asked.connect(("192.0.2.1", 9))
        return str(asked.getsockname()[0])


def _handler(page: bytes, path: str) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        timeout = _SILENT_SECONDS
        server_version, sys_version = "page", ""

        def do_GET(self) -> None:
            self._answer(with_body=True)

        def do_HEAD(self) -> None:
            self._answer(with_body=False)

        def _answer(self, with_body: bool) -> None:
            found = secrets.compare_digest(self.path.encode(), path.encode())
            body = page if found else b"There is nothing here."
            self.send_response(HTTPStatus.OK if found else HTTPStatus.NOT_FOUND)
            self.send_header("Content-Type", f"text/{'html' if found else 'plain'}; charset=utf-8")
            self.send_header("Content-Length", str(len(body)))
            for name, value in _HEADERS.items():
                self.send_header(name, value)
            self.end_headers()
            if with_body:
                self.wfile.write(body)

        def send_error(
            self, code: int, message: str | None = None, explain: str | None = None
        ) -> None:
            """As short for what is no request as for what is not there."""
            self.close_connection = True
            self.send_response(code)
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, format: str, *args: object) -> None:
            """Write nothing of who asks for what."""

    return Handler


_HEADERS = {
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "X-Robots-Tag": "noindex",
    "Connection": "close",
}
