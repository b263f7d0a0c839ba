"""Fetches one file over HTTPS, going on where an earlier try broke off."""

from __future__ import annotations

from collections.abc import Callable
from http.client import HTTPException
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import Request, urlopen

from assistant.models.errors import ModelError

OnProgress = Callable[[str, int, int], None]
"""Told of a file's name, the bytes that are there, and the bytes expected."""

_BLOCK = 1 << 18
_PATIENCE_S = 20.0


def fetch(address: str, target: Path, size: int, progress: OnProgress) -> None:
    """Fetch ``address`` to ``target``; what an earlier try left in ``target`` is kept.

    Raises:
        ModelError: the address cannot be reached or the transfer breaks off; what has arrived
            stays in ``target`` for the next try.
    """
    have = target.stat().st_size if target.is_file() else 0
    if have == size:
        return
    headers = {"Range": f"bytes={have}-"} if have else {}
    try:
        with urlopen(Request(address, headers=headers), timeout=_PATIENCE_S) as answer:
            goes_on = answer.status == 206  # any other answer starts the file from its beginning
            done = have if goes_on else 0
            whole = done + (answer.length or 0)
            with target.open("ab" if goes_on else "wb") as file:
                while block := answer.read(_BLOCK):
                    file.write(block)
                    done += len(block)
                    progress(target.name, done, size)
        if done < whole:
            raise ModelError(f"{address} broke off after {done} of {whole} bytes; try again.")
    except HTTPError as error:
        if error.code == 416:  # more is there than the file holds: start over next time
            target.unlink()
        raise ModelError(f"{address} answered with status {error.code}.") from error
    except (OSError, HTTPException, ValueError) as error:
        raise ModelError(f"{address} cannot be reached ({error}).") from error
