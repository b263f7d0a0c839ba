"""The PDF is really typeset, and read back by others: pikepdf (QPDF) and poppler."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from datetime import UTC, timedelta, timezone
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import jsonschema
import pikepdf
import pytest
import typst

from assistant.dialogue.facts import PictureAttached
from assistant.report.export import json_schema, to_json
from assistant.report.model import BuildRecord
from assistant.report.pdf import PAPERS, Paper, PdfError, to_pdf
from assistant.report.record import build_record
from assistant.report.sheet.integrity import Integrity
from assistant.report.sheet.layout import lay_out
from assistant.report.thumbnail import thumbnail
from tests.report.deviating import deviating
from tests.report.hostile import hostile
from tests.report.sample import OPENED, Scribe, sample
from tests.session.pictures import picture
from tests.systems import DEBIAN

pytestmark = DEBIAN

ZONE = timezone(timedelta(hours=5, minutes=30))


def typeset(record: BuildRecord, paper: Paper = "a4") -> bytes:
    return to_pdf(record, lay_out(record, Integrity(), ZONE), paper=paper)


def pages(content: bytes, folder: Path) -> list[str]:
    """The text of each page, by poppler."""
    said = lines(content, folder)
    return [" ".join(page.split()) for page in said.split("\f") if page.strip()]


def lines(content: bytes, folder: Path) -> str:
    """The text as it is laid out."""
    reader = shutil.which("pdftotext")
    assert reader is not None, "install poppler-utils"
    target = folder / "record.pdf"
    target.write_bytes(content)
    command = [reader, "-layout", str(target), "-"]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


@pytest.fixture(scope="module")
def record() -> BuildRecord:
    return build_record(deviating())


@pytest.fixture(scope="module")
def made(record: BuildRecord) -> bytes:
    return typeset(record)


def test_page_one_is_complete_in_itself(made: bytes, tmp_path: Path) -> None:
    first = pages(made, tmp_path)[0]
    for words in (
        "KB2-31", "Output hub serial H2207", "Otto Brandwick", "revision C, 2025-11-03",
        "2026-01-05 13:30 UTC+05:30", "Not accepted", "1 deviation that nobody has released",
        "34.97 mm", "34.98 – 35.00 mm", "out of limits", "use as is", "allowance of sheet 12",
        "Marta Quill", "1.9 thou", "too close to", "NOT RELEASED",
        "Step 8, Name plate: part missing", "ran out on 31 December 2025",
        "Hub bolts, 12.5 lbf·ft ± 1 lbf·ft and 60°: every fastener tightened", "Not sealed",
        "Page 1 of",
    ):  # fmt: skip
        assert words in first, words


def test_every_page_has_its_number_the_session_and_the_hash(
    record: BuildRecord, made: bytes, tmp_path: Path
) -> None:
    found = pages(made, tmp_path)
    assert len(found) >= 3
    for number, page in enumerate(found, 1):
        assert f"Page {number} of {len(found)}" in page
        assert record.last_hash[:8] in page
        assert record.session in page


def test_the_order_of_the_record_and_no_raw_ids(made: bytes, tmp_path: Path) -> None:
    whole = " ".join(pages(made, tmp_path))
    order = ["Deviations", "At a glance", "Measurements", "Tightening", "Hold points", "Parts",
             "Materials", "Tools", "Cautions and torques acknowledged", "Notes", "Pictures",
             "A Readings that do not count", "B Done again", "C Steps and their times",
             "D Course of the work", "F Has it been touched?"]  # fmt: skip
    headings = [" ".join(line.split()) for line in lines(made, tmp_path).splitlines()]
    places = [
        next(n for n, line in enumerate(headings) if line.startswith(title)) for title in order
    ]
    assert all(a < b for a, b in pairwise(places)), list(zip(order, places, strict=True))
    for raw in ("part_missing", "hub_bolts", "use_as_is", "not_taken", "lbf*ft,", "+00:00"):
        assert raw not in whole
    assert "Waits" not in whole, "a section with nothing to show is left out"


def test_the_json_comes_back_out_of_the_pdf_as_it_was(record: BuildRecord, made: bytes) -> None:
    with pikepdf.open(BytesIO(made)) as opened:
        assert list(opened.attachments) == ["record.json"]
        inside = opened.attachments["record.json"].get_file().read_bytes()
    assert inside.decode() == to_json(record)
    jsonschema.Draft202012Validator(json_schema()).validate(json.loads(inside))


def test_it_is_pdf_a_3_tagged_with_its_fonts_inside(made: bytes) -> None:
    with pikepdf.open(BytesIO(made)) as opened:
        root: Any = opened.Root
        with opened.open_metadata() as metadata:
            # ISO 19005-3, 6.6.4: the schema that states part and conformance level
            assert metadata.get("pdfaid:part") == "3"
            assert metadata.get("pdfaid:conformance") == "A"
        assert root.MarkInfo.Marked
        assert str(root.Lang) == "en"
        assert root.AF[0].AFRelationship == pikepdf.Name.Data
        kinds = tags(root.StructTreeRoot)
        assert {"H1", "H2", "H3", "Table", "TH", "TD", "Figure"} <= kinds
        fonts = [f for f in opened.objects if isinstance(f, pikepdf.Dictionary)
                 and f.get("/Type") == pikepdf.Name.FontDescriptor]  # fmt: skip
        assert fonts
        for font in fonts:
            assert "/FontFile3" in font or "/FontFile2" in font
            assert "LibertinusSerif" in str(font.FontName)


def tags(node: Any) -> set[str]:
    """The names of all structure elements below ``node`` (ISO 32000-1, 14.8.4)."""
    found: set[str] = set()
    waiting = [node]
    while waiting:
        one = waiting.pop()
        if isinstance(one, pikepdf.Array):
            waiting += list(one)
        elif isinstance(one, pikepdf.Dictionary):
            if "/S" in one:
                found.add(str(one.S).lstrip("/"))
            if "/K" in one:
                waiting.append(one.K)
    return found


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_it_stands_upright_on_both_papers(paper: Paper, size: tuple[int, int]) -> None:
    with pikepdf.open(BytesIO(typeset(build_record(sample()), paper))) as opened:
        for page in opened.pages:
            _, _, width, height = (float(v) for v in page.mediabox)
            assert (round(width), round(height)) == size
    assert set(PAPERS) == {"a4", "letter"}


@pytest.mark.parametrize("count", [0, 1, 2, 30, 70])
def test_a_record_cut_anywhere_is_typeset(count: int, tmp_path: Path) -> None:
    assert "Not finished" in pages(typeset(build_record(sample()[:count])), tmp_path)[0]


def test_a_picture_is_printed_with_it(tmp_path: Path) -> None:
    scribe = Scribe()
    scribe.event(OPENED.model_dump(mode="json"))
    scribe.heard(
        PictureAttached(step="float", name="KB2_0042.jpg", file="a" * 64, media="jpeg", size=9,
                        taken=OPENED.at)
    )  # fmt: skip
    record = build_record(scribe.entries)
    small = thumbnail(picture(side=500))
    target = tmp_path / "record.pdf"
    target.write_bytes(to_pdf(record, lay_out(record, zone=UTC), lambda line: small))
    lister = shutil.which("pdfimages")
    assert lister is not None, "install poppler-utils"
    listed = subprocess.run([lister, "-list", target], capture_output=True, text=True).stdout
    assert re.search(r"image\s+480\s+480", listed)


def test_text_of_others_is_shown_and_never_read_as_markup(tmp_path: Path) -> None:
    record = build_record(hostile())
    whole = "".join("".join(pages(typeset(record), tmp_path)).split())
    for words in ("#panic()", "$x^2$", "*bold*", "<script>", "@preview/evil", "\\u202e", "\\x1b"):
        assert words in whole, words
    assert "\u202e" not in whole
    long = whole.replace("\u200b", "")
    assert "N" * 290 in long, "a long name is broken over lines, not cut"


def test_a_script_without_a_font_is_written_out(tmp_path: Path) -> None:
    scribe = Scribe()
    scribe.event({**OPENED.model_dump(mode="json"), "job": "\U00012000\U00012001 job"})
    first = pages(typeset(build_record(scribe.entries)), tmp_path)[0]
    assert "job" in first
    if "\U00012000" not in first:  # a machine may have a font for cuneiform
        assert "\\U00012000" in first
        assert "No font on this machine has CUNEIFORM" in first


def test_the_same_record_gives_the_same_pdf(record: BuildRecord, made: bytes) -> None:
    assert typeset(record) == made


def test_a_failure_of_typesetting_is_one_sentence(
    record: BuildRecord, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing(*_: object, **__: object) -> bytes:
        raise typst.TypstError("no room", "error: no room")

    monkeypatch.setattr(typst, "compile", failing)
    with pytest.raises(PdfError, match=r"no room.*HTML page instead"):
        typeset(record)
