"""The page's routes. What each worker task does stands in `tasks`; the look in templates.

    GET  /                                the shelf, `shelf.html`: its routes stand in `shelf`
    GET  /order/<entry>                   an order on it, `order.html`
    GET  /plan/<key>                      a job: live, then its plan, `plan.html` with `layout.js`
    GET  /plan/<key>/cut                  its plan step by step for the table, `cut.html`
    GET  /api/example                     the packaged example: {order}
    GET  /api/catalogue, /api/pictures    what an order may hold; the drafts, drawn
    POST /api/look                        {order, drawings, edits?} -> see `reading.look`
    POST /api/measures                    {order, index, name, book} -> {books, book}: the measures
                                          of a garment are entered in a book of wearers
    POST /api/paper/<task>                a task of `names.PAPER`: photographs, patterns, drawings
    POST /api/estimate                    {order, drawings} -> see `estimate.estimate`; {stale} if a
                                          newer question has come since
    POST /api/jobs                        {order, drawings, seconds, rounds?, page?, entry?,
                                          revision?} -> 201 {key}; what the same page asked for
                                          before is given up
    GET  /api/jobs/<key>                  {state, spent, seconds, at, news, live, files, faults,
                                           message, fabrics: figures of each cloth, no placements}
    GET  /api/jobs/<key>/plan             the best plan so far, as plan.json has it
    GET  /api/jobs/<key>/lays             by cloth, each lay tried, with its placements
    GET  /api/jobs/<key>/order            {order, drawings}: what it was started with
    POST /api/jobs/<key>/stop             end with the best so far
    POST /api/jobs/<key>/do/<task>        a task of `tasks.FOLLOW_UPS` on a job that is over, which
                                          runs again then; 202
    POST /api/jobs/<key>/ask/<task>       a task of `tasks.QUESTIONS` about a job, answered at once
    GET  /jobs/<key>/files/<name>         a file among the job's `files`
    GET  /jobs/<key>/all.zip              all of them together

Faults of an order come with status 422 as {faults: [{key, path, message, remedy}]}; all other
refusals as {message}. A task's request gets `folder`, the job's own folder, beside what the page
sends.
"""

from __future__ import annotations

import re
import time
import zipfile
from collections.abc import Collection
from io import BytesIO
from traceback import print_exception
from typing import Any

from flask import (
    Blueprint,
    Flask,
    Response,
    abort,
    current_app,
    jsonify,
    render_template,
    request,
    send_file,
    send_from_directory,
)
from werkzeug.exceptions import HTTPException

from nesting.books.folder import data_folder
from nesting.page.server.estimates import Estimates
from nesting.page.server.guard import guard
from nesting.page.server.jobs import LONGEST_SECONDS, RUNNING, Full, Job, Jobs
from nesting.page.server.names import FOLLOW_UPS, PAPER, QUESTIONS
from nesting.page.server.shelf import Uploads, restored
from nesting.page.server.shelf import routes as shelf_routes
from nesting.page.server.statics import keep, statics
from nesting.page.server.workers import Crashed, Reader
from nesting.page.shelf.book import Shelf, is_key
from nesting.page.tasks.channel import Record

_PLACES = ("placements", "lays_compared", "remnants")
_WORDS = {
    400: "This could not be understood.",
    403: "This may only be asked by the page itself.",
    404: "There is nothing here. It may have been forgotten: plan the order again.",
    405: "This is not how it is asked for.",
    409: "The job is still at work.",
    413: "This is too large.",
    415: "This is not the kind of thing that is understood here.",
    421: "This address is not the page's own.",
    503: "Too many orders wait already. Try again in a while.",
}


_routes = Blueprint("page", __name__)


def create_app(
    jobs: Jobs,
    reader: Reader,
    hosts: Collection[str],
    estimates: Estimates | None = None,
    shelf: Shelf | None = None,
) -> Flask:
    """The page over a queue of jobs and a reader of orders; `hosts` are its own "name:port".

    Without a `shelf` it takes the one in the user's data folder.
    """
    # Where templates and static files lie.
    app = Flask("nesting.page", static_url_path=statics())
    app.url_map.merge_slashes = False
    app.config |= {"JOBS": jobs, "READER": reader, "ESTIMATES": estimates or Estimates()}
    app.config |= {"SHELF": shelf or Shelf(data_folder()), "UPLOADS": Uploads()}
    app.json.sort_keys = False  # type: ignore[attr-defined]  # cloths keep the order's order
    guard(app, hosts)
    app.after_request(keep)
    app.register_blueprint(_routes)
    app.register_blueprint(shelf_routes)
    app.register_error_handler(HTTPException, _refusal)
    app.register_error_handler(Exception, _own_failure)
    return app


def _refusal(error: HTTPException) -> tuple[Response | str, int]:
    code = error.code or 500
    message = _WORDS.get(code, error.name)
    if request.path.startswith("/api/"):
        return jsonify(message=message), code
    return render_template("refusal.html", message=message), code


def _own_failure(error: Exception) -> tuple[Response | str, int]:
    print_exception(error)
    message = "Something failed here. The order is kept in the browser; try again."
    return jsonify(message=message), 500


@_routes.get("/order/<entry>")
def _order_page(entry: str) -> str:
    return render_template("order.html") if is_key(entry) else abort(404)


@_routes.get("/plan/<key>")
def _plan_page(key: str) -> str:
    return render_template("plan.html", job=_known(key))


@_routes.get("/plan/<key>/cut")
def _cutting_page(key: str) -> str:
    return render_template("cut.html", job=_known(key))


@_routes.get("/api/example")
def _example() -> tuple[Response, int]:
    return _answered("example", {})


@_routes.get("/api/catalogue")
def _catalogue() -> tuple[Response, int]:
    _estimates().warm()  # an order will be written
    return _answered("catalogue", {})


@_routes.get("/api/pictures")
def _pictures() -> tuple[Response, int]:
    return _answered("pictures", {})


@_routes.post("/api/look")
def _look() -> tuple[Response, int]:
    body = _body()
    edits = body.get("edits", [])
    if not isinstance(edits, list) or not all(isinstance(edit, dict) for edit in edits):
        abort(400)
    return _answered("look", _order(body) | {"edits": edits})


@_routes.post("/api/measures")
def _note_measures() -> tuple[Response, int]:
    body = _body()
    index, texts = body.get("index"), [body.get(name) for name in ("order", "name", "book")]
    if not isinstance(index, int) or not all(isinstance(one, str) for one in texts):
        abort(400)
    return _answered("note-measures", body)


@_routes.post("/api/paper/<task>")
def _paper(task: str) -> tuple[Response, int]:
    return _answered(task, _body()) if task in PAPER else abort(404)


@_routes.post("/api/estimate")
def _estimate() -> tuple[Response, int]:
    asked = _order(_body())
    try:
        outcome = _estimates().ask(asked)
    except Crashed:
        outcome = {"failed": "There is no estimate of this order."}
    return _told(outcome)


@_routes.post("/api/jobs")
def _start() -> tuple[Response, int]:
    body = _body()
    _estimates().rest()
    try:
        job = _jobs().start(_order(body) | _limits(body), _page(body), *_on_shelf(body))
        return jsonify(key=job.key), 201
    except Full:
        abort(503)


@_routes.get("/api/jobs/<key>")
def _job_state(key: str) -> Response:
    return jsonify(_state(_known(key)))


@_routes.get("/api/jobs/<key>/plan")
def _best_plan(key: str) -> Response:
    job = _known(key)
    return jsonify(job.plan) if job.plan is not None else abort(404)


@_routes.get("/api/jobs/<key>/lays")
def _lays(key: str) -> Response:
    return jsonify(_known(key).lays)


@_routes.get("/api/jobs/<key>/order")
def _job_order(key: str) -> Response:
    asked = _known(key).request
    return jsonify(order=asked["order"], drawings=asked["drawings"])


@_routes.post("/api/jobs/<key>/stop")
def _stop(key: str) -> Response:
    job = _known(key)
    _jobs().stop(job)
    return jsonify(_state(job))


@_routes.post("/api/jobs/<key>/do/<task>")
def _go_on(key: str, task: str) -> tuple[Response, int]:
    job = _known(key)
    if task not in FOLLOW_UPS:
        abort(404)
    body = _body()
    try:
        _jobs().go_on(job, task, job.request | body | _limits(body))
    except ValueError:
        abort(409)
    except Full:
        abort(503)
    return jsonify(_state(job)), 202


@_routes.post("/api/jobs/<key>/ask/<task>")
def _ask(key: str, task: str) -> tuple[Response, int]:
    job = _known(key)
    if task not in QUESTIONS:
        abort(404)
    return _answered(task, job.request | _body() | {"folder": str(job.folder)})


@_routes.get("/jobs/<key>/files/<name>")
def _file(key: str, name: str) -> Response:
    job = _known(key)
    if name not in job.files:
        abort(404)
    return send_from_directory(job.folder, name, as_attachment=True)


@_routes.get("/jobs/<key>/all.zip")
def _all_files(key: str) -> Response:
    job = _known(key)
    if not job.files:
        abort(404)
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in job.files:
            archive.write(job.folder / name, name)
    packed.seek(0)
    return send_file(packed, "application/zip", as_attachment=True, download_name=_zip_name(job))


def _zip_name(job: Job) -> str:
    words = re.findall(r"\w+", (job.plan or {}).get("order", ""))
    return f"{'-'.join(words)[:60] or 'plan'}.zip"


def _jobs() -> Jobs:
    jobs: Jobs = current_app.config["JOBS"]
    return jobs


def _estimates() -> Estimates:
    estimates: Estimates = current_app.config["ESTIMATES"]
    return estimates


def _known(key: str) -> Job:
    job = _jobs().get(key) or restored(key)
    return job if job is not None else abort(404)


def _body() -> Record:
    try:
        body = request.get_json()
    except RecursionError:
        abort(400)
    return body if isinstance(body, dict) else abort(400)


def _order(body: Record) -> Record:
    """The order of a request and its drawings, as text."""
    order, drawings = body.get("order"), body.get("drawings", {})
    if not isinstance(order, str) or not isinstance(drawings, dict):
        abort(400)
    if not all(isinstance(content, str) for content in drawings.values()):
        abort(400)
    return {"order": order, "drawings": drawings}


def _page(body: Record) -> str:
    """Which page of the browser asks; empty where it doesn't say."""
    page = body.get("page", "")
    return page if isinstance(page, str) and len(page) <= 64 else abort(400)


def _on_shelf(body: Record) -> tuple[str, str]:
    """The order on the shelf that is asked about, and as of which revision."""
    entry, revision = body.get("entry", ""), body.get("revision", "")
    if not all(one == "" or is_key(one) for one in (entry, revision)):
        abort(400)
    return entry, revision


def _limits(body: Record) -> Record:
    """How long to search: seconds, and rounds if the same plan is wanted every time."""
    limits: Record = {}
    for name, most in (("seconds", LONGEST_SECONDS), ("rounds", 1_000_000)):
        value = body.get(name)
        if value is None:
            continue
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value <= most:
            abort(400)
        limits[name] = value
    return limits


def _answered(task: str, asked: Record) -> tuple[Response, int]:
    reader: Reader = current_app.config["READER"]
    try:
        outcome = reader.ask(task, asked)
    except Crashed:
        return jsonify(message="This took too long, or broke off. The order is kept."), 500
    return _told(outcome)


def _told(outcome: Record) -> tuple[Response, int]:
    if "done" in outcome:
        return jsonify(outcome["done"]), 200
    if "faults" in outcome:
        return jsonify(faults=outcome["faults"]), 422
    return jsonify(message=outcome["failed"]), 500


def _state(job: Job) -> dict[str, Any]:
    plan = job.plan or {}
    fabrics = [
        {name: value for name, value in fabric.items() if name not in _PLACES}
        for fabric in plan.get("fabrics", [])
    ]
    return {
        "state": job.state,
        "spent": job.spent,
        "seconds": time.monotonic() - job.begun if job.state == RUNNING else 0.0,
        "budget": job.budget,
        "at": job.at,
        "news": job.news,
        "live": job.live,
        "files": job.files,
        "faults": job.faults,
        "message": job.message,
        "unkept": job.unkept,
        "name": plan.get("order", ""),
        "unit": job.unit,
        "cloths": job.cloths,
        "fabrics": fabrics,
    }
