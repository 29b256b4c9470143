"""Firefox as the distribution has it, driven by WebDriver BiDi (W3C), which it speaks by itself."""

from __future__ import annotations

import asyncio
import json
import subprocess
import time
from collections.abc import Coroutine
from pathlib import Path
from threading import Thread
from typing import Any

from tornado.websocket import WebSocketClientConnection, websocket_connect

from tests.nesting.page.house import free_port

_SECONDS = 60.0
_FIND = """([selector, words]) => [...document.querySelectorAll(selector)]
    .find((one) => one.textContent.includes(words) && one.getClientRects().length > 0)"""


class Firefox:
    """One window. `errors` are what its console has told of errors."""

    def __init__(self, program: str, profile: Path) -> None:
        port = free_port()
        command = [program, "--headless", "--no-remote", "--profile", str(profile)]
        command.append(f"--remote-debugging-port={port}")
        quiet = subprocess.DEVNULL
        self._program = subprocess.Popen(command, stdout=quiet, stderr=quiet)
        # In a thread of its own, as another browser's loop may run in this one.
        self._loop = asyncio.new_event_loop()
        self._thread = Thread(target=self._loop.run_forever, daemon=True)
        self._thread.start()
        self._socket = self._done(self._connected(port))
        self._asked = 0
        self.errors: list[str] = []
        self.call("session.new", capabilities={})
        self.call("session.subscribe", events=["log.entryAdded"])
        self._page = self.call("browsingContext.getTree")["contexts"][0]["context"]

    def _done(self, work: Coroutine[Any, Any, Any]) -> Any:
        return asyncio.run_coroutine_threadsafe(work, self._loop).result(2 * _SECONDS)

    async def _connected(self, port: int) -> WebSocketClientConnection:
        until = time.monotonic() + _SECONDS
        while True:
            try:
                return await websocket_connect(f"ws://127.0.0.1:{port}/session")
            except OSError:
                if time.monotonic() > until:
                    raise
                await asyncio.sleep(0.1)

    def call(self, method: str, **parameters: Any) -> Any:
        return self._done(self._call(method, parameters))

    async def _call(self, method: str, parameters: dict[str, Any]) -> Any:
        self._asked += 1
        asked = {"id": self._asked, "method": method, "params": parameters}
        await self._socket.write_message(json.dumps(asked))
        while True:
            told = json.loads(await self._socket.read_message() or "{}")
            if told.get("method") == "log.entryAdded" and told["params"]["level"] == "error":
                self.errors.append(str(told["params"]["text"]))
            if told.get("id") == self._asked:
                assert told["type"] == "success", told
                return told["result"]

    def go(self, address: str) -> None:
        self.call("browsingContext.navigate", context=self._page, url=address, wait="complete")

    def _run(self, function: str, *arguments: str) -> Any:
        values = [{"type": "string", "value": one} for one in arguments]
        return self.call(
            "script.callFunction",
            functionDeclaration=function,
            arguments=[{"type": "array", "value": values}],
            target={"context": self._page},
            awaitPromise=True,
        )["result"]

    def value(self, expression: str) -> Any:
        """What a script's expression has: text, a number, yes or no."""
        return self._run(f"() => ({expression})").get("value")

    def until(self, expression: str) -> Any:
        """Wait for something to be so."""
        end = time.monotonic() + _SECONDS
        while not (found := self.value(expression)):
            assert time.monotonic() < end, expression
            time.sleep(0.1)
        return found

    def _element(self, selector: str, words: str) -> dict[str, Any]:
        end = time.monotonic() + _SECONDS
        while (found := self._run(_FIND, selector, words))["type"] != "node":
            assert time.monotonic() < end, (selector, words)
            time.sleep(0.1)
        return {"type": "element", "element": {"sharedId": found["sharedId"]}}

    def click(self, selector: str, words: str = "") -> None:
        """With the mouse, on what is seen and has these words, once the page is at rest."""
        self.until("!document.body.classList.contains('busy')")
        origin = self._element(selector, words)
        self._run(
            "([s, w]) => {" + f"({_FIND})([s, w]).scrollIntoView({{ block: 'center' }})" + "}",
            selector,
            words,
        )
        move = {"type": "pointerMove", "x": 0, "y": 0, "origin": origin}
        acts = [move, {"type": "pointerDown", "button": 0}, {"type": "pointerUp", "button": 0}]
        self.call(
            "input.performActions",
            context=self._page,
            actions=[{"type": "pointer", "id": "mouse", "actions": acts}],
        )

    def keys(self, text: str) -> None:
        """On the keyboard; signs of their own are in WebDriver's table, such as \\ue004 for Tab."""
        acts = [{"type": kind, "value": key} for key in text for kind in ("keyDown", "keyUp")]
        self.call(
            "input.performActions",
            context=self._page,
            actions=[{"type": "key", "id": "keys", "actions": acts}],
        )

    def end(self) -> None:
        self.call("browser.close")
        self._program.wait(30)
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(5)
