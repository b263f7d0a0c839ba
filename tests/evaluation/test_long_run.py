"""The long run of readings: kept one by one, continued, shared out."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.evaluation.conditions import CLEAN
from assistant.evaluation.corpora import UNSEEN, VOICES, readings
from assistant.evaluation.hearing import Listener
from assistant.evaluation.long_run import RunPart, go_on, kept, long_table, wrong_table
from assistant.evaluation.measured import MeasuredListener
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.language.policy import Policy
from assistant.speech.errors import SpeechError
from assistant.speech.types import Utterance
from tests.evaluation.test_bench import recognised

LANGUAGE = Language.load("en-US")
TRUST = Policy(ask_confusable=False)


class Always:
    """Hears one and the same reading in everything; counts how often."""

    name = "always"
    asked = 0

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        pass

    def recognise(self, utterance: Utterance) -> Recognition:
        Always.asked += 1
        return recognised("reading nine point five thou")


def run(path: Path, count: int, part: RunPart | None = None) -> None:
    measured = MeasuredListener("always", lambda: Listener(Always()), LANGUAGE, TRUST)
    items = readings(LANGUAGE, count, 1, (*VOICES, *UNSEEN)).items
    go_on(path, measured, items, [CLEAN], part or RunPart())


@pytest.mark.audio
def test_a_run_goes_on_where_it_stopped_and_a_torn_line_is_done_again(tmp_path: Path) -> None:
    path = tmp_path / "kept.jsonl"
    run(path, 3)
    whole = path.read_text()
    assert [j.number for j in kept(path)] == [0, 1, 2]
    path.write_text(whole[:-20])
    before = Always.asked
    run(path, 3)
    assert path.read_text() == whole
    assert Always.asked == before + 1
    run(path, 3)
    assert Always.asked == before + 1


@pytest.mark.audio
def test_parts_make_up_the_whole(tmp_path: Path) -> None:
    run(tmp_path / "all", 5)
    for which in (1, 2):
        run(tmp_path / str(which), 5, RunPart(which, 2))
    parts = kept(tmp_path / "1") + kept(tmp_path / "2")
    assert sorted(parts, key=lambda j: j.number) == kept(tmp_path / "all")


@pytest.mark.audio
def test_another_value_taken_is_listed_with_what_was_said(tmp_path: Path) -> None:
    path = tmp_path / "kept.jsonl"
    run(path, 1)
    (judged,) = kept(path)
    assert judged.outcome == "wrong"
    assert judged.said in wrong_table([judged])
    assert "100.0 (20.7-100.0)" in long_table([judged])  # Wilson's interval of 1 of 1, by hand


def test_what_is_no_part_and_no_such_file_are_refused(tmp_path: Path) -> None:
    assert RunPart.read("2/3") == RunPart(2, 3)
    for text in ("3/2", "0/2", "half", "1", "1/"):
        with pytest.raises(SpeechError, match="is not a part"):
            RunPart.read(text)
    path = tmp_path / "other.jsonl"
    path.write_text('{"a": 1}\n')
    with pytest.raises(SpeechError, match="line 1"):
        kept(path)
    assert kept(tmp_path / "missing") == []
