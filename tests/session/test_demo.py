"""The demonstration from its recording through the real recogniser, and typed: the same record."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from assistant.cli.demo import load_demo, run_demo
from assistant.cli.workplace import latest_session, open_store
from tests.session.kit import INPUT_SHAFT_READINGS

pytestmark = pytest.mark.audio


def facts(store: Path) -> list[dict[str, Any]]:
    """The facts of the only session in ``store``, without what hearing alone decides."""
    kept = open_store(str(store))
    session = latest_session(kept)
    assert kept.journal.verify(session) is None
    return [
        _plain(e.body)
        for e in kept.journal.read(session)
        if e.kind == "fact" and e.body["kind"] not in ("reading_offered", "acknowledged")
    ]


def _plain(body: dict[str, Any]) -> dict[str, Any]:
    # How a reading was confirmed and when a wait began depend on the engine and the clock.
    return {k: v for k, v in body.items() if k not in ("how", "started", "until", "clip")}


@pytest.fixture(scope="module")
def heard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with the session heard from the recording."""
    store = tmp_path_factory.mktemp("heard") / "records.db"
    assert run_demo(engine="auto", keyboard=False, voice="silent", store=str(store))
    return store


def test_every_reading_of_the_recording_is_what_was_spoken(heard: Path) -> None:
    kept = open_store(str(heard))
    (row,) = kept.journal.sessions()
    assert row.procedure_id == "kb2_input_shaft"
    confirmed = {
        (f["step"], f["position"]): f["indication"]["amount"]["value"]
        for f in facts(heard)
        if f["kind"] == "reading_confirmed"
    }
    assert confirmed == INPUT_SHAFT_READINGS


def test_every_reading_and_confirmation_keeps_its_sound(heard: Path) -> None:
    kept = open_store(str(heard))
    for entry in kept.journal.read(latest_session(kept)):
        if entry.kind == "event" and entry.body["kind"] == "heard":
            assert entry.clip is not None
            assert kept.clips.look(entry.clip) == "intact"


def test_the_same_words_typed_give_the_same_record(heard: Path, tmp_path: Path) -> None:
    store = tmp_path / "typed.db"
    assert _typed(store)
    assert facts(store) == facts(heard)


def _typed(store: Path) -> bool:
    return run_demo(engine="auto", keyboard=True, voice="silent", store=str(store))


def test_a_recording_that_says_another_value_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    demo = load_demo()
    lines = tuple("reading one point three thou" if line == "reading one point two thou" else line
                  for line in demo.lines)  # fmt: skip
    assert lines != demo.lines
    changed = type(demo)(demo.script, demo.audio, lines)
    monkeypatch.setattr("assistant.cli.demo.load_demo", lambda: changed)
    assert not _typed(tmp_path / "typed.db")
