"""Writes what a program must know of an exported model: ``phones.json`` next to it."""

from __future__ import annotations

import argparse
import hashlib
import json
from pathlib import Path

from assistant.speech.ear.posteriors import PHONES

_NOTICE = (
    "Grown from the encoder of Whisper base (OpenAI), MIT License. Copyright (c) 2022 OpenAI. "
    "Permission is hereby granted, free of charge, to any person obtaining a copy of this software "
    'and associated documentation files (the "Software"), to deal in the Software without '
    "restriction, including without limitation the rights to use, copy, modify, merge, publish, "
    "distribute, sublicense, and/or sell copies of the Software, and to permit persons to whom the "
    "Software is furnished to do so, subject to the following conditions: The above copyright "
    "notice and this permission notice shall be included in all copies or substantial portions of "
    'the Software. THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR '
    "IMPLIED, INCLUDING BUT NOT LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A "
    "PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE "
    "LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR "
    "OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER "
    "DEALINGS IN THE SOFTWARE."
)


def description(model: Path, version: str, temperature: float) -> dict[str, object]:
    """The facts, ready for JSON."""
    return {
        "name": "kettlebeck-ear",
        "version": version,
        "language": "en-US",
        "phones": ["<blank>", *PHONES],
        "frames_per_second": 50,
        "temperature": temperature,
        "longest_window_s": 12.8,
        "features": {
            "kind": "log-mel",
            "sample_rate": 16000,
            "n_fft": 400,
            "hop": 160,
            "bands": 80,
            "window": "hann",
            "mel": "slaney",
            "log": "log10",
            "held_within_of_maximum": 8.0,
            "offset": 4.0,
            "divisor": 4.0,
        },
        "sha256": hashlib.sha256(model.read_bytes()).hexdigest(),
        "card": "docs/ear-model.md",
        "licence": _NOTICE,
    }


def main() -> None:
    """Writes phones.json beside a model."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("model", type=Path)
    parser.add_argument("--version", required=True)
    parser.add_argument("--temperature", type=float, default=1.0)
    given = parser.parse_args()
    facts = description(given.model, given.version, given.temperature)
    text = json.dumps(facts, indent=1, ensure_ascii=False)
    given.model.with_name("phones.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
