"""A small model of our own, served over HTTP and packed as wheels, so that no network is needed."""

from __future__ import annotations

import hashlib
import re
import threading
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from assistant.models.catalogue import FileFacts, Package, SpeechModel

FILES = {"model.bin": bytes(range(256)) * 40, "config.json": b"{}"}


def facts(data: bytes) -> FileFacts:
    return FileFacts(len(data), hashlib.sha256(data).hexdigest())


def model(official: str, mirror: tuple[Package, ...] = ()) -> SpeechModel:
    files = {name: facts(data) for name, data in FILES.items()}
    return SpeechModel("kettle-model", "whisper", "a toy", "MIT", official, files, None, mirror)


def archive_model(official: str, archive: bytes) -> SpeechModel:
    return SpeechModel("kettle-zip", "vosk", "a toy", "MIT", official, {}, facts(archive), ())


def wheel(folder: Path, package: str, members: dict[str, bytes]) -> Package:
    """Write a data wheel into ``folder``; every member is a part of the file in its stem."""
    folder.mkdir(parents=True, exist_ok=True)
    stem = package.replace("-", "_")
    path = folder / f"{stem}-1.0-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(f"{stem}/__init__.py", "raise SystemExit('must never be run')")
        archive.writestr(
            f"{stem}-1.0.dist-info/METADATA",
            f"Metadata-Version: 2.1\nName: {package}\nVersion: 1.0\n",
        )
        archive.writestr(
            f"{stem}-1.0.dist-info/WHEEL",
            "Wheel-Version: 1.0\nGenerator: kit\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        )
        archive.writestr(f"{stem}-1.0.dist-info/RECORD", "")
        for name, data in members.items():
            archive.writestr(f"{stem}/{name}", data)
    named = tuple((f"{stem}/{n}", n.removesuffix(".part1").removesuffix(".part2")) for n in members)
    return Package(package, "1.0", facts(path.read_bytes()), named)


@contextmanager
def served(files: dict[str, bytes], cut_first: int = 0) -> Iterator[tuple[str, list[str]]]:
    """Serve ``files``; yield the address and the list of ranges asked for.

    ``cut_first``: the first answer breaks off after so many bytes.
    """
    ranges: list[str] = []
    cut = [cut_first]

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            data = files.get(self.path.lstrip("/"))
            if data is None:
                self.send_error(404)
                return
            asked = self.headers.get("Range", "")
            ranges.append(asked)
            start = int(m[1]) if (m := re.fullmatch(r"bytes=(\d+)-", asked)) else 0
            self.send_response(206 if asked else 200)
            self.send_header("Content-Length", str(len(data) - start))
            self.end_headers()
            body = data[start:]
            if cut[0]:
                body, cut[0] = body[: cut[0]], 0
            self.wfile.write(body)

        def log_message(self, format: str, *args: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/", ranges
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
