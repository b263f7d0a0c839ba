"""Pictures, notes taken back, refused dispositions, revisions and calibration in the record."""

from __future__ import annotations

import base64
import json
import re
from datetime import UTC
from io import BytesIO
from pathlib import Path

import html5lib
import jsonschema
from PIL import Image

from assistant.dialogue.facts import (
    DispositionDropped,
    DispositionRecorded,
    NoteTaken,
    NoteTakenBack,
    PictureAttached,
    PictureTakenBack,
    RevisionNoticed,
    ToolChecked,
)
from assistant.dialogue.kinds.tightening.facts import FastenerTightened
from assistant.quantities.amount import parse_amount
from assistant.report.export import json_schema, to_csv, to_json
from assistant.report.html import EvidenceViews, PictureView, to_html
from assistant.report.model import BuildRecord
from assistant.report.record import build_record
from assistant.report.thumbnail import thumbnail
from tests.report.sample import OPENED, Scribe, sample
from tests.session.pictures import heic, picture

XHTML = "{http://www.w3.org/1999/xhtml}"


def attached(file: str, name: str = "KB2_0042.jpg") -> PictureAttached:
    return PictureAttached(
        step="float", name=name, file=file * 64, media="jpeg", size=1234,
        taken="2026-01-05T07:59:00+00:00",
    )  # fmt: skip


def joined(page: str) -> str:
    """A page without the line breaks between its elements."""
    return re.sub(r"\s*\n\s*", "", page)


def begun(**opening: object) -> Scribe:
    scribe = Scribe()
    scribe.event({**OPENED.model_dump(mode="json"), **opening})
    return scribe


def with_pictures() -> BuildRecord:
    scribe = begun()
    scribe.heard(attached("a"))
    scribe.heard(attached("b", "KB2_<43>.jpg"))
    scribe.heard(PictureTakenBack(step="float", file="b" * 64))
    return build_record(scribe.entries)


def test_a_picture_taken_back_stays_and_says_so() -> None:
    kept, gone = with_pictures().pictures
    assert (kept.step, kept.file, kept.taken_back_at) == ("float", "a" * 64, None)
    assert gone.taken_back_at == "2026-01-05T08:01:30+00:00"


def test_the_json_with_everything_holds_to_its_schema_of_version_3() -> None:
    written = json.loads(to_json(with_pictures()))
    jsonschema.Draft202012Validator(json_schema()).validate(written)
    assert written["version"] == 3
    assert [p["name"] for p in written["pictures"]] == ["KB2_0042.jpg", "KB2_<43>.jpg"]


def test_the_published_schema_is_that_of_the_code() -> None:
    published = Path(__file__).parents[2] / "docs" / "record.schema.json"
    assert json.loads(published.read_text(encoding="utf-8")) == json_schema()


def test_pictures_change_nothing_in_the_csv() -> None:
    scribe = Scribe()
    scribe.entries = sample()
    before = to_csv(build_record(scribe.entries))
    scribe.heard(attached("a"))
    after = to_csv(build_record(scribe.entries))
    assert after == before


def test_the_page_shows_a_small_picture_with_words_beside_it_and_loads_nothing() -> None:
    small = thumbnail(picture(side=900))
    page = to_html(
        with_pictures(),
        evidence=EvidenceViews(
            picture=lambda line: PictureView(small=small, link=f"p/{line.file}.jpg")
        ),
        zone=UTC,
    )
    tree = html5lib.HTMLParser(strict=True).parse(page)
    (image,) = tree.iter(f"{XHTML}img")  # the one taken back is named but not shown
    assert image.get("src", "").startswith("data:image/jpeg;base64,")
    assert image.get("alt") == "KB2_0042.jpg, attached to End float, taken 07:59:00"
    captions = ["".join(c.itertext()) for c in tree.iter(f"{XHTML}figcaption")]
    assert len(captions) == 2
    assert "a" * 16 in captions[0]
    assert "taken back 08:01:30" in captions[1]
    assert "KB2_<43>.jpg" in captions[1]
    assert "http:" not in page
    assert "https:" not in page


def test_a_small_picture_is_small_upright_and_without_the_places_of_the_original() -> None:
    wide = Image.new("RGB", (1000, 500), "white")
    wide.paste("black", (0, 0, 500, 500))  # the left half is black
    out = BytesIO()
    exif = Image.Exif()
    exif[0x0112] = 6  # EXIF orientation: to be turned a quarter clockwise to stand upright
    exif[0x010E] = "where it was taken"
    wide.save(out, "JPEG", exif=exif)
    uri = thumbnail(out.getvalue())
    assert uri is not None
    content = base64.b64decode(uri.partition(",")[2])
    with Image.open(BytesIO(content)) as small:
        assert small.size == (240, 480)
        top, bottom = small.getpixel((120, 60)), small.getpixel((120, 420))
    assert isinstance(top, tuple)
    assert isinstance(bottom, tuple)
    assert max(top) < 30
    assert min(bottom) > 225
    assert b"where it was" not in content


def test_what_cannot_be_drawn_is_only_named() -> None:
    assert thumbnail(heic()) is None
    assert thumbnail(picture()[:200]) is None
    page = to_html(with_pictures())
    assert "<img" not in page
    assert "Not kept here" in page


def test_a_refused_release_names_who_and_when_and_a_new_decision_stands_beside_it() -> None:
    scribe = begun()
    asked = DispositionRecorded(step="float", position="top", disposition="use_as_is")
    scribe.heard(asked)
    dropped = DispositionDropped(
        step="float", position="top", disposition="use_as_is", how="refused", person="Marta Quill"
    )
    scribe.heard(dropped)
    scribe.heard(asked.model_copy(update={"disposition": "rework"}))
    scribe.heard(
        dropped.model_copy(update={"disposition": "rework", "how": "taken_back", "person": ""})
    )
    record = build_record(scribe.entries)
    refused, withdrawn = record.dispositions
    assert (refused.state, refused.refused_by) == ("refused", "Marta Quill")
    assert refused.refused_at == "2026-01-05T08:01:00+00:00"
    assert (withdrawn.disposition, withdrawn.state) == ("rework", "withdrawn")
    page = to_html(record, zone=UTC)
    assert '>refused by Marta Quill</td><td data-label="When">08:01:00</td>' in joined(page)


def test_a_note_taken_back_is_marked_and_kept() -> None:
    scribe = begun()
    scribe.heard(NoteTaken(step="float", text="", clip="c1", seconds=3.6), clip="c1")
    scribe.heard(NoteTaken(step="float", text="", clip="c2", seconds=9.0), clip="c2")
    scribe.heard(NoteTakenBack(step="float", clip="c2"))
    record = build_record(scribe.entries)
    assert [n.taken_back_at is None for n in record.notes] == [True, False]
    page = to_html(record, zone=UTC)
    assert "4 s of sound" in page
    assert "taken back 08:01:30" in page


def test_the_revision_that_was_acknowledged_is_told_by_titles() -> None:
    scribe = begun()
    scribe.heard(
        RevisionNoticed(revision="D", sha256="5" * 64, done=("lock",), ahead=(), added=("Oil",))
    )
    page = to_html(build_record(scribe.entries))
    assert "had become revision D" in page
    assert "steps done already: Lock out; in steps still to do: none; new: Oil" in page


def tool(due: str | None) -> dict[str, object]:
    return {"id": "dial", "name": "Dial No. 4", "calibration_due": due}


def test_when_a_tools_calibration_runs_out_stands_in_the_table_of_tools() -> None:
    scribe = begun(bench={"tools": [tool("2026-03-01")]})
    dial = build_record(scribe.entries).tools[0]
    assert (dial.own_name, dial.calibration_due) == ("Dial No. 4", "2026-03-01")
    assert dial.checked_at is None
    scribe.event({"kind": "resumed", "bench": {"tools": [tool("2027-03-01")]}})
    scribe.heard(
        ToolChecked(
            step="float", tool="dial", name="Dial No. 4", calibration_due="2027-03-01",
            findings=("Read with care.",),
        )
    )  # fmt: skip
    record = build_record(scribe.entries)
    dial, feelers = record.tools[:2]
    assert (dial.calibration_due, dial.findings) == ("2027-03-01", ["Read with care."])
    assert dial.checked_at == "2026-01-05T08:01:00+00:00"
    assert feelers.calibration_due is None
    page = joined(to_html(record, zone=UTC))
    assert '<th scope="row">Dial No. 4<span class="small">Dial indicator</span></th>' in page
    assert (
        '>2027-03-01</td><td data-label="Looked at">08:01:00<span class="small">Read with care.'
        in page
    )


def test_what_a_fastener_got_stands_beside_what_the_wrench_was_set_to() -> None:
    scribe = begun()
    scribe.heard(
        FastenerTightened(
            step="torque", pass_number=1, fastener="one", torque=parse_amount("10 lbf*ft"),
            at_fastener=parse_amount("12.5 lbf*ft"),
        )
    )  # fmt: skip
    record = build_record(scribe.entries)
    assert str(record.tightenings[0].passes[0].tightened[0].at_fastener) == "12.5 lbf*ft"
    row = joined(to_html(record)).replace("\u00a0", " ")
    assert '<td data-label="At the fastener">12.5 lbf·ft' in row
    assert '<td data-label="Set on the wrench"><strong>10 lbf·ft</strong>' in row
