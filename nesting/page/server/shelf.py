"""The routes of the shelf, and what a plan takes there and back.

    GET  /                              the shelf, `shelf.html`
    GET  /api/shelf                     {orders: each with its plans, newest first, folder,
                                        most_plans, deleted_days}
    GET  /api/shelf/<entry>             {key, revision, saved, name, order, drawings, way}
    POST /api/shelf/<entry>             {order, drawings, name, about, way, revision, after} -> the
                                        line it has now: another key, `beside` this one, if the
                                        order has a revision that is not among `after`
    POST /api/shelf/<entry>/gone        {gone}: delete it, or put it back
    POST /api/shelf/<entry>/erase       take out all that there is of it
    GET  /shelf.zip                     all of it as one file
    POST /api/shelf/bring/<upload>      {part, last}: such a file, in parts in base64, -> {new}

What keeps the shelf from being used comes with status 422 as {message}.
"""

from __future__ import annotations

import base64
import binascii
from dataclasses import asdict
from pathlib import Path
from tempfile import TemporaryFile
from threading import Lock
from typing import IO, Any

from flask import (
    Blueprint,
    Response,
    abort,
    current_app,
    jsonify,
    render_template,
    request,
    send_file,
)

from nesting.page.server.jobs import Job
from nesting.page.shelf.book import DELETED_DAYS, MOST_PLANS, Order, PlanLine, Shelf, is_key, now
from nesting.page.shelf.faults import sentence
from nesting.page.shelf.pack import bring, export
from nesting.page.shelf.plans import card, packed, unpacked
from nesting.page.tasks.channel import Record
from pieces.errors import OrderFault

routes = Blueprint("shelf", __name__)
_MOST_AFTER = 200
_LARGEST_UPLOAD = 4_000_000_000
_MOST_UPLOADS = 4


class Uploads:
    """Files that come in parts; the oldest of too many is given up."""

    def __init__(self) -> None:
        self._change = Lock()
        self._files: dict[str, IO[bytes]] = {}

    def add(self, name: str, part: bytes) -> None:
        """Put a part behind those that came before.

        Raises
        ------
        ValueError : it has become too large
        """
        with self._change:
            if name not in self._files:
                while len(self._files) >= _MOST_UPLOADS:
                    self._files.pop(next(iter(self._files))).close()
                self._files[name] = TemporaryFile()  # noqa: SIM115 - taken out by `whole`
            file = self._files[name]
            file.write(part)
            if file.tell() > _LARGEST_UPLOAD:
                self._files.pop(name).close()
                raise ValueError(name)

    def whole(self, name: str) -> IO[bytes]:
        """All parts of a file, which is the caller's from now on."""
        with self._change:
            return self._files.pop(name)


def keep(shelf: Shelf, job: Job) -> str:
    """Put the plan of a job under its order; why it could not, in words."""
    if not job.entry or job.plan is None:
        return ""
    line = PlanLine(job.key, job.entry, job.revision, now(), card(job.plan))
    try:
        shelf.keep_plan(line, packed(job.record, job.folder))
    except OrderFault as fault:
        return sentence(fault)
    return ""


def restored(key: str) -> Job | None:
    """The job of a plan on the shelf, as if it had just been done."""
    if not is_key(key):
        return None
    found = _shelf().plan(key)
    if found is None:
        return None

    def unpack(folder: Path) -> Record:
        return unpacked(found[1], folder)

    try:
        job: Job = current_app.config["JOBS"].restore(key, unpack)
    except ValueError:
        return None
    return job


@routes.errorhandler(OrderFault)
def _fault(fault: OrderFault) -> tuple[Response, int]:
    return jsonify(message=sentence(fault)), 422


@routes.get("/")
def _shelf_page() -> str:
    try:
        has_orders = any(not one.gone for one in _shelf().lines()[0])
    except OrderFault:
        has_orders = False  # the page asks again, and tells why
    return render_template("shelf.html", has_orders=has_orders)


@routes.get("/api/shelf")
def _lines() -> Response:
    entries, plans = _shelf().lines()
    orders = [
        asdict(entry) | {"plans": [asdict(plan) for plan in plans if plan.entry == entry.key]}
        for entry in entries
    ]
    limits = {"most_plans": MOST_PLANS, "deleted_days": DELETED_DAYS}
    return jsonify(orders=orders, folder=str(_shelf().folder), **limits)


@routes.get("/api/shelf/<entry>")
def _order(entry: str) -> Response:
    found = _shelf().order(entry)
    if found is None:
        abort(404)
    line, order = found
    return jsonify(asdict(line) | asdict(order))


@routes.post("/api/shelf/<entry>")
def _save(entry: str) -> Response:
    body = _body(entry)
    texts = [body.get(name) for name in ("name", "order", "way")]
    name, text, way = (one if isinstance(one, str) else abort(400) for one in texts)
    drawings, about, after = body.get("drawings"), body.get("about"), body.get("after")
    if not isinstance(drawings, dict) or not _are_texts(drawings.values()):
        abort(400)
    if not isinstance(about, list) or not isinstance(after, list):
        abort(400)
    known = is_key(body.get("revision")) and all(map(is_key, after)) and len(after) <= _MOST_AFTER
    if not known or not _are_texts(about):
        abort(400)
    order = Order(name, text, drawings, tuple(about), way)
    return jsonify(asdict(_shelf().save(entry, order, body["revision"], after)))


@routes.post("/api/shelf/<entry>/gone")
def _gone(entry: str) -> Response:
    body = _body(entry)
    _shelf().delete(entry, bool(body.get("gone")))
    return jsonify({})


@routes.post("/api/shelf/<entry>/erase")
def _erase(entry: str) -> Response:
    _body(entry)
    _shelf().erase(entry)
    return jsonify({})


@routes.get("/shelf.zip")
def _export() -> Response:
    file = TemporaryFile()  # noqa: SIM115 - sent, and closed with the answer
    export(_shelf(), file)
    file.seek(0)
    name = f"orders-{now()[:10]}.zip"
    return send_file(file, "application/zip", as_attachment=True, download_name=name)


@routes.post("/api/shelf/bring/<upload>")
def _bring(upload: str) -> Response:
    body = _body(upload)
    uploads: Uploads = current_app.config["UPLOADS"]
    try:
        uploads.add(upload, base64.b64decode(body.get("part", ""), validate=True))
    except (binascii.Error, TypeError, ValueError):
        abort(400)
    if not body.get("last"):
        return jsonify({})
    with uploads.whole(upload) as file:
        return jsonify(new=bring(_shelf(), file))


def _shelf() -> Shelf:
    shelf: Shelf = current_app.config["SHELF"]
    return shelf


def _body(key: str) -> Record:
    body = request.get_json() if is_key(key) else abort(404)
    return body if isinstance(body, dict) else abort(400)


def _are_texts(values: Any) -> bool:
    return all(isinstance(one, str) for one in values)
