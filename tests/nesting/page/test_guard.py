"""Hostile requests to the page as it is served: each refused with the right status.

Statuses are those of RFC 9110 (HTTP Semantics) and RFC 6585 (431).
"""

from __future__ import annotations

import http.client
import json
import socket
from typing import Any

import pytest

from nesting.page.server.guard import LARGEST_BYTES

OWN = object()
"""Stands for the page's own address."""
JSON = {"Content-Type": "application/json"}
FROM_PAGE = JSON | {"Origin": OWN}
LOOK = {"order": "", "drawings": {}}


def ask(
    address: str, method: str, path: str, headers: dict[str, Any], body: bytes | None = None
) -> tuple[int, bytes, dict[str, str]]:
    host, port = address.removeprefix("http://").split(":")
    connection = http.client.HTTPConnection(host, int(port), timeout=60)
    sent = {name: address if value is OWN else value for name, value in headers.items()}
    connection.putrequest(method, path, skip_host="Host" in headers, skip_accept_encoding=True)
    for name, value in sent.items():
        connection.putheader(name, value)
    if body is not None and "Content-Length" not in headers:
        connection.putheader("Content-Length", str(len(body)))
    connection.endheaders(body)
    answer = connection.getresponse()
    found = answer.status, answer.read(), dict(answer.getheaders())
    connection.close()
    return found


def post(body: Any) -> bytes:
    return json.dumps(body).encode()


ELSEWHERE = "http://example.org"
WRONG_HOSTS = [
    *("example.org", "example.org:{port}", "127.0.0.1", "localhost", "127.0.0.1:1"),
    *(
        "0.0.0.0:{port}",
        "127.0.0.1:{port}.example.org",
        "user@127.0.0.1:{port}",
        "",
        "[::1]:{port}",
    ),
]
HOSTILE: list[tuple[str, str, dict[str, Any], bytes | None, int]] = [
    # another name that leads here (DNS rebinding)
    *(("GET", "/", {"Host": host}, None, 421) for host in WRONG_HOSTS),
    ("POST", "/api/look", FROM_PAGE | {"Host": "example.org"}, post(LOOK), 421),
    # other sites in the same browser
    ("POST", "/api/look", JSON, post(LOOK), 403),
    ("POST", "/api/look", JSON | {"Origin": ELSEWHERE}, post(LOOK), 403),
    ("POST", "/api/look", JSON | {"Origin": "null"}, post(LOOK), 403),
    ("POST", "/api/look", JSON | {"Origin": "http://127.0.0.1"}, post(LOOK), 403),
    ("POST", "/api/jobs", JSON | {"Origin": ELSEWHERE}, post(LOOK), 403),
    ("POST", "/api/jobs/x/stop", JSON | {"Origin": ELSEWHERE}, post({}), 403),
    ("GET", "/api/example", {"Sec-Fetch-Site": "cross-site"}, None, 403),
    ("GET", "/static/order.js", {"Sec-Fetch-Site": "cross-site"}, None, 403),
    ("GET", "/", {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}, None, 403),
    ("GET", "/plan/x", {"Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "navigate"}, None, 403),
    # what a form of another site could send without asking first
    ("POST", "/api/look", {"Origin": OWN, "Content-Type": "text/plain"}, post(LOOK), 415),
    (
        *("POST", "/api/look"),
        {"Origin": OWN, "Content-Type": "application/x-www-form-urlencoded"},
        *(b"order=x", 415),
    ),
    ("POST", "/api/look", {"Origin": OWN, "Content-Type": "multipart/form-data"}, b"x", 415),
    ("POST", "/api/look", {"Origin": OWN}, post(LOOK), 415),
    # too large
    ("POST", "/api/look", FROM_PAGE, b" " * (LARGEST_BYTES + 1), 413),
    ("POST", "/api/jobs", FROM_PAGE | {"Content-Length": "99999999999"}, b"", 413),
    ("GET", "/" + "a" * 20_000, {}, None, 431),
    ("GET", "/", {"Cookie": "a" * 20_000}, None, 431),
    # paths that lead elsewhere
    ("GET", "/static/../app.py", {}, None, 404),
    ("GET", "/static/%2e%2e/app.py", {}, None, 404),
    ("GET", "/static/..%2fapp.py", {}, None, 404),
    ("GET", "/static//etc/passwd", {}, None, 404),
    ("GET", "/static/..\\app.py", {}, None, 404),
    ("GET", "/plan/..%2f..%2fetc%2fpasswd", {}, None, 404),
    ("GET", "/plan/nothing", {}, None, 404),
    ("GET", "/api/jobs/nothing", {}, None, 404),
    ("GET", "/api/jobs/nothing/plan", {}, None, 404),
    ("GET", "/jobs/nothing/files/plan.pickle", {}, None, 404),
    ("GET", "/jobs/x/files/..%2f..%2fplan.json", {}, None, 404),
    # malformed
    ("POST", "/api/look", FROM_PAGE, b"", 400),
    ("POST", "/api/look", FROM_PAGE, b"{", 400),
    ("POST", "/api/look", FROM_PAGE, b"\xff\xfe", 400),
    ("POST", "/api/look", FROM_PAGE, b"[" * 100_000, 400),
    ("POST", "/api/look", FROM_PAGE, post([]), 400),
    ("POST", "/api/look", FROM_PAGE, post({}), 400),
    ("POST", "/api/look", FROM_PAGE, post({"order": 1}), 400),
    ("POST", "/api/look", FROM_PAGE, post({"order": "", "drawings": []}), 400),
    ("POST", "/api/look", FROM_PAGE, post({"order": "", "drawings": {"a.svg": 1}}), 400),
    ("POST", "/api/look", FROM_PAGE, post({"order": "", "edits": {}}), 400),
    ("POST", "/api/jobs", FROM_PAGE, post(LOOK | {"seconds": -1}), 400),
    ("POST", "/api/jobs", FROM_PAGE, post(LOOK | {"seconds": 1e9}), 400),
    ("POST", "/api/jobs", FROM_PAGE, b'{"order": "", "seconds": NaN}', 400),
    ("POST", "/api/jobs", FROM_PAGE, post(LOOK | {"seconds": True}), 400),
    ("PUT", "/api/look", FROM_PAGE, post(LOOK), 405),
    ("DELETE", "/", {"Origin": OWN} | JSON, None, 405),
    ("POST", "/", FROM_PAGE, post({}), 405),
]


def test_there_are_fifty_and_more() -> None:
    assert len(HOSTILE) >= 50


@pytest.mark.parametrize("number", range(len(HOSTILE)))
def test_hostile_requests_are_refused(address: str, number: int) -> None:
    method, path, headers, body, status = HOSTILE[number]
    port = address.rsplit(":", 1)[1]
    filled = {
        name: value.format(port=port) if isinstance(value, str) else value
        for name, value in headers.items()
    }
    got, text, _ = ask(address, method, path, filled, body)
    assert got == status
    assert b"Traceback" not in text
    assert b"root:" not in text


@pytest.mark.parametrize(
    "raw",
    [
        b"nonsense\r\n\r\n",
        b"GET / HTTP/9.9\r\nHost: {host}\r\nContent-Length: x\r\n\r\n",
        b"POST /api/look HTTP/1.1\r\nHost: {host}\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n",
        b"GET /\r\n\x00\r\n\r\n",
    ],
)
def test_what_is_no_request_is_refused_or_dropped(address: str, raw: bytes) -> None:
    host = address.removeprefix("http://")
    name, port = host.split(":")
    with socket.create_connection((name, int(port)), timeout=30) as line:
        line.sendall(raw.replace(b"{host}", host.encode()))
        line.shutdown(socket.SHUT_WR)
        answer = line.recv(4096)
    assert not answer or answer.split()[1][:1] == b"4"


def test_the_page_still_works_and_says_what_a_browser_may_do(address: str) -> None:
    status, text, headers = ask(address, "GET", "/", {})
    assert status == 200
    assert b"What is to be cut?" in text
    policy = headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert b"<script>" not in text
    assert b"style=" not in text
    assert ask(address, "POST", "/api/look", FROM_PAGE, post(LOOK))[0] == 200
    assert (
        ask(address, "GET", "/", {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"})[0]
        == 200
    )  # a link that somebody wrote down


def test_no_task_but_those_named_is_done(address: str) -> None:
    body = post(LOOK | {"rounds": 1, "seconds": 1})
    _, text, _ = ask(address, "POST", "/api/jobs", FROM_PAGE, body)
    key = json.loads(text)["key"]
    for path in (f"/api/jobs/{key}/do/look", f"/api/jobs/{key}/ask/plan"):
        assert ask(address, "POST", path, FROM_PAGE, post({}))[0] == 404
    assert ask(address, "GET", f"/jobs/{key}/files/plan.pickle", {})[0] == 404
