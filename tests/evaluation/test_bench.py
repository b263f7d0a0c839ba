"""The bench itself, with listeners whose faults are known."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.audio.synthesis.speakers import say
from assistant.evaluation.bench import BenchRow, by_voice, run
from assistant.evaluation.conditions import CLEAN
from assistant.evaluation.corpora import (
    Corpus,
    CorpusItem,
    Task,
    debian,
    folder_corpus,
    readings,
    sampled,
    trade,
)
from assistant.evaluation.false_accepts import NonCommandAnswer
from assistant.evaluation.hearing import Listener, TrialAnswer
from assistant.evaluation.measured import MeasuredListener
from assistant.evaluation.operating import operating_points
from assistant.evaluation.startup import seconds_to_listen
from assistant.evaluation.states import STATES
from assistant.evaluation.table import whole
from assistant.evaluation.trial import Result, Trial, judge
from assistant.language import Language
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.language.policy import Policy
from assistant.speech.errors import SpeechError
from assistant.speech.types import Samples, Utterance

LANGUAGE = Language.load("en-US")
TRUST = Policy(ask_confusable=False)


def recognised(text: str, confidence: float = 0.95) -> Recognition:
    words = tuple(Word(w) for w in text.split())
    return Recognition((Hypothesis(words, confidence),) if text else (), "test")


class Scripted:
    """Says the texts of a list in turn, whatever it is given to hear."""

    name = "scripted"

    def __init__(self, texts: list[str]) -> None:
        self.texts = list(texts)

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        assert jsgf.startswith("#JSGF V1.0")

    def recognise(self, utterance: Utterance) -> Recognition:
        return recognised(self.texts.pop(0))


def item(state: str, text: str) -> CorpusItem:
    def sound() -> Samples:
        return say("reading one point five thou", "espeak_us")

    return CorpusItem(f"{state}-{text}", Task(state, STATES[state]), text, "espeak_us", sound)


CORPUS = Corpus(
    "known",
    "",
    (
        item("runout", "reading one point five thou"),
        item("runout", "reading nine point five thou"),
        item("torque", "reading ninety newton meters"),
        item("doing", "step done"),
        item("doing", "go on"),
    ),
)


@pytest.mark.audio
def test_every_kind_of_fault_lands_in_its_column() -> None:
    says = [
        "reading one point five thou",  # right
        "reading five point five thou",  # another value, taken
        "",  # nothing heard
        "step done",
        "take a note",  # another command
    ]
    measured = MeasuredListener("scripted", lambda: Listener(Scripted(says)), LANGUAGE, TRUST)
    report = run(measured, [CORPUS], [CLEAN], 0)
    (row,) = report.rows
    assert (row.exact.hits, row.exact.tries) == (2, 5)
    assert (row.value.hits, row.value.tries) == (1, 3)
    assert (row.wrong_value.hits, row.wrong_value.tries) == (1, 3)
    assert (row.wrong_action.hits, row.wrong_action.tries) == (1, 2)
    assert (row.again.hits, row.again.tries) == (1, 5)
    assert report.memory_mb is not None
    assert report.memory_mb > 10
    shown = json.loads(json.dumps(row.as_json()))
    assert [w["heard"] for w in shown["wrong"]] == ["reading five point five thou", "take a note"]
    assert "scripted" in whole([report])


def judged(said: str, *answers: str) -> str:
    heard = tuple(TrialAnswer(recognised(a), 0.1) for a in answers)
    trial = Trial(item("runout", said), "clean", heard, 1.0)
    return judge(trial, LANGUAGE, TRUST).outcome


def test_of_several_stretches_the_worst_outcome_counts() -> None:
    said = "reading one point five thou"
    assert judged(said, said) == "right"
    assert judged(said, said, "reading five thou") == "wrong"
    assert judged(said, "", said) == "right"
    assert judged(said) == "nothing"


def test_another_wording_of_the_same_value_is_no_wrong_value() -> None:
    assert judged("reading one point five thou", "reading one point five") == "right"


def test_corpora_follow_from_their_seed_and_are_understood() -> None:
    for make in (readings, sampled, trade):
        once, again, other = (make(LANGUAGE, 40, seed) for seed in (1, 1, 2))
        said = [(i.text, i.voice) for i in once.items]
        assert said == [(i.text, i.voice) for i in again.items]
        assert said != [(i.text, i.voice) for i in other.items]
        assert len({i.voice for i in once.items}) == 8
        for one in once.items:
            assert one.task.spec is not None
            assert LANGUAGE.interpret(one.task.spec, one.text), one.text


def test_every_trade_phrase_is_known_to_the_language() -> None:
    listing = Path(__file__).parents[2] / "assistant" / "evaluation" / "trade_phrases.tsv"
    for line in listing.read_text(encoding="utf-8").splitlines():
        if not line.startswith("#"):
            state, text = line.split("\t")
            assert len(LANGUAGE.interpret(STATES[state], text)) == 1, line


def test_a_folder_of_recordings_is_a_corpus(tmp_path: Path) -> None:
    tone = (np.sin(np.arange(8000) / 10) * 8000).astype(np.int16)
    for name in ("a.wav", "b.wav", "c.wav"):
        soundfile.write(tmp_path / name, tone, 8000)
    (tmp_path / "transcript.tsv").write_text("a.wav\tOne Nine\nb.wav\tstep done\n\nc.wav\tmy cat\n")
    corpus = folder_corpus(tmp_path, LANGUAGE)
    assert [(i.task.name, i.text) for i in corpus.items] == [
        ("digits", "one nine"),
        ("tightening", "step done"),
        (tmp_path.name, "my cat"),
    ]
    assert "my cat" in corpus.items[2].task.jsgf
    assert len(corpus.items[0].sound()) == 16000  # resampled from 8 kHz


@pytest.mark.parametrize("listing", ["a.wav\n", "a.wav\t \n", "missing.wav\tgo on\n"])
def test_a_bad_transcript_names_its_line(tmp_path: Path, listing: str) -> None:
    soundfile.write(tmp_path / "a.wav", np.ones(100, np.int16), 16000)
    (tmp_path / "transcript.tsv").write_text(listing)
    with pytest.raises(SpeechError, match=r"transcript\.tsv:1: write the name"):
        folder_corpus(tmp_path, LANGUAGE)


def test_a_folder_without_transcript_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SpeechError, match=r"holds no transcript\.tsv"):
        folder_corpus(tmp_path, LANGUAGE)


def test_debians_recordings_are_found_with_their_own_words_where_installed(tmp_path: Path) -> None:
    assert debian(tmp_path) is None
    (tmp_path / "cards").mkdir()
    (tmp_path / "cards" / "cards.transcription").write_text("<s> ten of clubs  </s> (001)\n")
    (tmp_path / "cards" / "cards.gram").write_text("#JSGF V1.0;\n")
    (tmp_path / "goforward.gram").write_text("#JSGF V1.0;\n")
    corpus = debian(tmp_path)
    assert corpus is not None
    assert [i.text for i in corpus.items] == [
        "ten of clubs",
        "go forward ten meters",
        "two nine three four zero",
    ]


def test_a_rows_quantiles_are_of_decisions_that_were_made() -> None:
    trial = Trial(item("doing", "go on"), "clean", (), 1.0)
    quiet = judge(trial, LANGUAGE, TRUST)
    made = judge(
        Trial(trial.item, "clean", (TrialAnswer(recognised("go on"), 0.2),), 1.0),
        LANGUAGE,
        TRUST,
    )
    row = BenchRow("x", "c", "clean", (quiet, made), ("go on", "go on"), 2.0)
    assert row.decision_s(0.5) == pytest.approx(0.2)
    assert row.real_time_factor == pytest.approx(0.1)


def test_speakers_are_counted_over_corpora_and_in_the_quiet_only() -> None:
    def result(text: str, heard: str) -> Result:
        answer = TrialAnswer(recognised(heard), 0.1)
        trial = Trial(item("doing", text), "clean", (answer,), 1.0)
        return judge(trial, LANGUAGE, TRUST)

    right, wrong = result("go on", "go on"), result("go on", "go back")
    rows = [
        BenchRow("x", "trade", "clean", (right, wrong), ("go on",) * 2, 2.0, ("awb", "slt")),
        BenchRow("x", "sampled", "clean", (right,), ("go on",), 1.0, ("slt",)),
        BenchRow("x", "trade", "hum 10 dB", (wrong,), ("go on",), 1.0, ("awb",)),
    ]
    counted = {voice: [r.exact for r in heard] for (_, voice), heard in by_voice(rows).items()}
    assert counted == {"awb": [True], "slt": [False, True]}


@pytest.mark.audio
def test_a_stricter_threshold_misses_more_and_is_set_off_less() -> None:
    sure = {"stop work": 0.85, "where am i": 0.65, "once more": 0.45}
    trials = [
        Trial(item("doing" if text != "once more" else "review", text), "clean",
              (TrialAnswer(recognised(text, confidence), 0.1),), 1.0)
        for text, confidence in sure.items()
    ]  # fmt: skip
    found = [
        NonCommandAnswer("radio", "doing", TrialAnswer(recognised("stop work", c), 0.1))
        for c in (0.35, 0.55, 0.75)
    ]
    points = {p.reject: p for p in operating_points(found, 0.5, trials, LANGUAGE, TRUST)}
    assert [points[t].missed.hits for t in (0.3, 0.5, 0.7, 0.9)] == [0, 1, 2, 3]
    assert [points[t].per_hour for t in (0.3, 0.5, 0.7, 0.9)] == [6.0, 4.0, 2.0, 0.0]


def test_the_command_is_timed_until_it_listens_and_its_refusal_is_passed_on(
    tmp_path: Path,
) -> None:
    assert seconds_to_listen() > 0
    with pytest.raises(SpeechError, match="no engine 'parrot'"):
        seconds_to_listen("parrot")
