"""Headless Chromium driven through a pipe (Chrome DevTools Protocol), without any other library."""

from __future__ import annotations

import base64
import json
import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from select import select
from shutil import which
from typing import Any

# Debian calls the browser chromium, Ubuntu chromium-browser.
BINARY = which("chromium") or which("chromium-browser") or "/usr/bin/chromium"
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
)
_PATIENCE_S = 300.0
# Listens before the page does; a page shows what has arrived before anything else is asked of it.
_NOTE_WHAT_ARRIVES = """
window.EventSource = class extends EventSource {
  constructor(...all) {
    super(...all);
    this.addEventListener("view", (message) => { window.arrived = message.lastEventId; });
  }
};
"""


class Tab:
    """One page in a running browser."""

    def __init__(self, to_browser: int, from_browser: int) -> None:
        self._out = to_browser
        self._in = from_browser
        self._buffer = b""
        self._number = 0
        self._session: str | None = None
        self.requested: list[str] = []
        self.complaints: list[str] = []
        target = self._ask("Target.createTarget", url="about:blank")["targetId"]
        attached = self._ask("Target.attachToTarget", targetId=target, flatten=True)
        self._session = attached["sessionId"]
        for domain in ("Page", "Network", "Log", "Runtime"):
            self._ask(f"{domain}.enable")
        self._ask("Page.addScriptToEvaluateOnNewDocument", source=_NOTE_WHAT_ARRIVES)

    def _ask(self, method: str, **params: Any) -> dict[str, Any]:
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": params}
        if self._session is not None:
            message["sessionId"] = self._session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._read()
            if answer.get("id") == self._number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                result: dict[str, Any] = answer["result"]
                return result

    def _read(self) -> dict[str, Any]:
        while b"\0" not in self._buffer:
            ready, _, _ = select([self._in], [], [], _PATIENCE_S)
            if not ready:
                raise TimeoutError("The browser does not answer.")
            piece = os.read(self._in, 1 << 16)
            if not piece:
                raise RuntimeError("The browser has ended.")
            self._buffer += piece
        line, _, self._buffer = self._buffer.partition(b"\0")
        message: dict[str, Any] = json.loads(line)
        match message.get("method"):
            case "Network.requestWillBeSent":
                self.requested.append(message["params"]["request"]["url"])
            case "Log.entryAdded":
                self.complaints.append(message["params"]["entry"]["text"])
            case "Runtime.exceptionThrown":
                self.complaints.append(json.dumps(message["params"]["exceptionDetails"]))
        return message

    def media(self, **features: str) -> None:
        """Emulate media features, such as ``prefers_color_scheme="dark"``."""
        named = [{"name": k.replace("_", "-"), "value": v} for k, v in features.items()]
        self._ask("Emulation.setEmulatedMedia", features=named)

    def size(self, width: int, height: int) -> None:
        """Set the size of the window in CSS pixels."""
        self._ask("Emulation.setDeviceMetricsOverride", width=width, height=height,
                  deviceScaleFactor=1, mobile=False)  # fmt: skip

    def resize(self, width: int, height: int) -> None:
        """Set the size, and wait until the page that is open has been laid out for it."""
        self.size(width, height)
        self.until(f"innerWidth === {width} && innerHeight === {height}")
        # The first frame tells the page of its size, before what was asked for in that frame.
        frame = "new Promise((yes) => requestAnimationFrame(() => requestAnimationFrame(yes)))"
        self.value(f"{frame}.then(() => true)")

    def open(self, url: str) -> None:
        """Go to ``url`` and wait until the document is there."""
        self._ask("Page.navigate", url=url)
        self.until("document.readyState === 'complete' && location.href !== 'about:blank'")

    def follow(self) -> None:
        """Wait until the board that is open shows the newest that there is."""
        newest = self.value("fetch('view').then((answer) => answer.json()).then((it) => it.id)")
        self.until(f"window.arrived === {newest!r}")

    def value(self, expression: str) -> Any:
        """The value of a script expression; a promise is awaited."""
        answer = self._ask("Runtime.evaluate", expression=expression, returnByValue=True,
                           awaitPromise=True)  # fmt: skip
        if "exceptionDetails" in answer:
            raise RuntimeError(str(answer["exceptionDetails"]))
        return answer["result"].get("value")

    def until(self, condition: str) -> None:
        """Wait until ``condition`` holds, looking once for each frame of the page."""
        outcome = self.value(
            "new Promise((yes) => { let n = 0; const look = () => { "
            f"if ({condition}) yes(true); else if (++n > 1500) yes(false); "
            "else setTimeout(look, 10); }; look(); })"
        )
        if not outcome:
            raise TimeoutError(f"The page never came to: {condition}")

    def text(self, element: str) -> str:
        """The text of the element with that id, as it is laid out."""
        return str(self.value(f"document.getElementById({element!r}).innerText"))

    def picture(self, path: Path) -> None:
        """Store a screenshot as PNG."""
        answer = self._ask("Page.captureScreenshot", format="png")
        path.write_bytes(base64.b64decode(answer["data"]))


@contextmanager
def browser(profile: Path) -> Iterator[Tab]:
    """A browser with a fresh profile, ended afterwards."""
    to_read, to_write = os.pipe()
    from_read, from_write = os.pipe()

    def wire() -> None:  # the protocol's fixed descriptors: commands on 3, answers on 4
        first, second = os.dup(to_read), os.dup(from_write)
        os.dup2(first, 3)
        os.dup2(second, 4)

    process = subprocess.Popen(
        [BINARY, *FLAGS, "--remote-debugging-pipe", f"--user-data-dir={profile}"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        close_fds=False,
        preexec_fn=wire,
    )
    os.close(to_read)
    os.close(from_write)
    try:
        yield Tab(to_write, from_read)
    finally:
        os.close(to_write)
        os.close(from_read)
        process.terminate()
        process.wait(_PATIENCE_S)
