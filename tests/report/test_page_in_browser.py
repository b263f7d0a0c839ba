"""The page in a browser: axe-core finds nothing, it fits a phone, sounds play, nothing is fetched.

Needs the Debian package ``chromium``; axe-core comes with the package ``axe-core-python``.
"""

from __future__ import annotations

import base64
from collections.abc import Iterator
from importlib.resources import files
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.report.html import EvidenceViews, Integrity, PictureView, to_html
from assistant.report.record import build_record
from assistant.report.thumbnail import thumbnail
from tests.board.chromium import Tab, browser
from tests.report.deviating import deviating
from tests.report.hostile import hostile
from tests.session.pictures import picture
from tests.systems import DEBIAN

pytestmark = DEBIAN

AXE = files("axe_core_python").joinpath("axe.min.js").read_text(encoding="utf-8")
SECONDS = 0.5


def tone() -> str:
    """Half a second of sound as a clip is kept: FLAC, mono, 16 kHz."""
    out = BytesIO()
    wave = (np.sin(np.arange(int(16_000 * SECONDS)) / 8) * 8000).astype(np.int16)
    soundfile.write(out, wave, 16_000, "PCM_16", format="FLAC")
    return "data:audio/flac;base64," + base64.b64encode(out.getvalue()).decode()


@pytest.fixture(scope="module")
def tab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tab]:
    with browser(tmp_path_factory.mktemp("profile")) as opened:
        yield opened


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    folder = tmp_path_factory.mktemp("pages")
    sound, small = tone(), thumbnail(picture(side=300))
    addresses = {}
    for name, entries in (("deviating", deviating()), ("hostile", hostile())):
        page = to_html(build_record(entries), Integrity(),
            EvidenceViews(lambda clip: sound,
                          lambda line: PictureView(small=small, link="picture.jpg")))  # fmt: skip
        path: Path = folder / f"{name}.html"
        path.write_text(page, encoding="utf-8")
        addresses[name] = path.as_uri()
    return addresses


@pytest.mark.parametrize("size", [(1280, 900), (390, 844)], ids=str)
@pytest.mark.parametrize("name", ["deviating", "hostile"])
def test_axe_core_finds_nothing_and_nothing_is_wider_than_the_screen(
    tab: Tab, pages: dict[str, str], name: str, size: tuple[int, int]
) -> None:
    tab.size(*size)
    tab.open(pages[name])
    tab.value(f"{AXE}; true")
    found = tab.value(
        "axe.run(document, { resultTypes: ['violations'] })"
        ".then((r) => r.violations.map((v) => v.id + ' ' + v.help))"
    )
    assert found == []
    assert tab.value("document.documentElement.scrollWidth") <= size[0]


def test_a_sound_plays_and_nothing_comes_from_elsewhere(tab: Tab, pages: dict[str, str]) -> None:
    tab.open(pages["deviating"])
    length = tab.value(
        "new Promise((yes) => { const one = document.querySelector('audio');"
        "one.onloadedmetadata = () => yes(one.duration); one.onerror = () => yes(-1);"
        "one.preload = 'metadata'; one.load(); })"
    )
    assert length == pytest.approx(SECONDS, abs=0.01)
    fetched = tab.value("performance.getEntriesByType('resource').map((e) => e.name.slice(0, 5))")
    assert set(fetched) <= {"data:"}
