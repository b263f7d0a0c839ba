"""The PDF is really printed by Chromium, and what it says is in it."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from assistant.dialogue.facts import PictureAttached
from assistant.report import pdf
from assistant.report.html import PictureView, to_html
from assistant.report.pdf import PdfError, print_pdf
from assistant.report.record import build_record
from assistant.report.thumbnail import thumbnail
from tests.report.sample import OPENED, Scribe, sample
from tests.session.pictures import picture


def test_the_record_is_printed(tmp_path: Path) -> None:
    target = tmp_path / "record.pdf"
    target.write_bytes(print_pdf(to_html(build_record(sample()))))
    assert target.read_bytes().startswith(b"%PDF-")
    reader = shutil.which("pdftotext")
    assert reader is not None, "install poppler-utils"
    said = subprocess.run([reader, "-layout", target, "-"], capture_output=True, text=True).stdout
    for words in ("Kettlebeck KB-2 bearing cap", "Open dispositions", "OUT OF", "KB417"):
        assert words in said


def test_a_picture_is_printed_with_it(tmp_path: Path) -> None:
    scribe = Scribe()
    scribe.event(OPENED.model_dump(mode="json"))
    scribe.heard(
        PictureAttached(step="float", name="KB2_0042.jpg", file="a" * 64, media="jpeg", size=9,
                        taken=OPENED.at)
    )  # fmt: skip
    view = PictureView(small=thumbnail(picture(side=500)))
    target = tmp_path / "record.pdf"
    page = to_html(build_record(scribe.entries), picture=lambda line: view)
    target.write_bytes(print_pdf(page))
    lister = shutil.which("pdfimages")
    assert lister is not None, "install poppler-utils"
    listed = subprocess.run([lister, "-list", target], capture_output=True, text=True).stdout
    assert len(listed.splitlines()) == 2 + 1  # a heading of two lines, then one picture
    assert "480   480" in listed


def test_a_machine_without_a_browser_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pdf, "find_browser", lambda: None)
    with pytest.raises(PdfError, match="install it"):
        print_pdf("<p>x</p>")


def test_a_browser_that_fails_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pdf, "find_browser", lambda: "/bin/false")
    with pytest.raises(PdfError, match="by hand"):
        print_pdf("<p>x</p>")
