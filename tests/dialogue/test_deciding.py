"""What the second person hears before deciding; commands in the middle of a note or reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from assistant.dialogue.effects import Say
from assistant.dialogue.events import Heard, SoundMissed, SpeechCut, Unsaid
from assistant.dialogue.facts import DispositionRecorded, NoteTaken
from assistant.dialogue.kinds.inspection import Inspected
from assistant.dialogue.states import (
    DispositionReason,
    Doing,
    GoingBack,
    Noting,
    OutOfLimit,
    Release,
    Review,
    Stopping,
)
from assistant.language.hypothesis import Recognition
from tests.dialogue.kit import GAP, HALF, LAST, Bench, procedure, replay

HOLD = {"id": "hold", "kind": "inspection", "criteria": "It turns freely."}
INSPECTOR = "inspector mike quebec"
NOTHING = Recognition((), "test")


def started(*steps: Mapping[str, object]) -> Bench:
    b = Bench(procedure(*steps, LAST))
    b.start()
    return b


def to_release(b: Bench, reason: str = "worn but sound") -> None:
    b.type("reading 31 thou")
    b.say("disposition_use_as_is")
    b.type(reason)


def test_the_inspector_hears_value_limits_disposition_and_reason() -> None:
    b = started(GAP)
    to_release(b)
    said = b.type(INSPECTOR)
    for words in ("thirty one thou. Out of limits", "The limits are five thou to thirty thou",
                  "use as is", "worn but sound", "Marta Quill"):  # fmt: skip
        assert words in said
    assert "worn but sound" in b.say("repeat")


def test_a_computed_value_is_read_to_the_inspector_too() -> None:
    b = started(GAP, HALF)
    b.type("reading 29 thou")
    b.say("go_on", "disposition_use_as_is")
    b.type("the next shaft is longer")
    said = b.type(INSPECTOR)
    assert "half gap: fourteen point five thou. Out of limits" in said
    assert "the next shaft is longer" in said


def test_nothing_is_released_before_the_inspector_has_heard_it_to_its_end() -> None:
    b = started(GAP)
    to_release(b)
    b.type(INSPECTOR)
    said = [e for e in b.effects if isinstance(e, Say)]
    lines = tuple(Unsaid(text=s.text, tone=s.tone, about=s.about) for s in said)
    b.feed(SpeechCut(at=b.at(), unsaid=lines))
    assert "worn but sound" in b.say("accept")
    assert isinstance(b.awaiting(), Release)
    b.say("accept")
    assert b.awaiting() == Review()


def test_a_spoken_reason_is_said_to_be_a_recording() -> None:
    b = started(GAP)
    b.type("reading 31 thou")
    b.say("disposition_use_as_is")
    b.hear("")
    assert "recording" in b.type(INSPECTOR)


def sounds(b: Bench) -> list[tuple[str, str]]:
    return [(e.text, e.sound) for e in b.effects if isinstance(e, Say) and e.sound]


def spoken_reason(b: Bench) -> None:
    b.type("reading 31 thou")
    b.say("disposition_use_as_is")
    b.feed(Heard(at=b.at(), recognition=NOTHING, clip="c" * 64, seconds=3.8))


def test_a_spoken_reason_is_played_to_the_inspector() -> None:
    b = started(GAP)
    spoken_reason(b)
    b.type(INSPECTOR)
    line = "Disposition: use as is. Reason: a recording, 4 seconds long."
    assert sounds(b) == [(line, "c" * 64)]
    b.say("repeat")
    assert sounds(b) == [(line, "c" * 64)]


def test_a_typed_reason_is_read_out_and_nothing_is_played() -> None:
    b = started(GAP)
    to_release(b)
    assert "worn but sound" in b.type(INSPECTOR)
    assert sounds(b) == []


def test_a_recording_cut_short_is_played_again_before_the_decision() -> None:
    b = started(GAP)
    spoken_reason(b)
    b.type(INSPECTOR)
    said = [e for e in b.effects if isinstance(e, Say)]
    lines = tuple(Unsaid(text=s.text, tone=s.tone, about=s.about, sound=s.sound) for s in said)
    b.feed(SpeechCut(at=b.at(), unsaid=lines))
    b.say("accept")
    assert [sound for _, sound in sounds(b)] == ["c" * 64]
    assert isinstance(b.awaiting(), Release)


def test_a_recording_that_cannot_be_played_is_said_and_the_builder_asked_for_the_reason() -> None:
    b = started(GAP)
    spoken_reason(b)
    b.type(INSPECTOR)
    at = b.awaiting()
    said = b.feed(SoundMissed(at=b.at(), clip="c" * 64))
    assert [e.tone for e in b.effects if isinstance(e, Say)] == ["caution"]
    assert (
        said == "The recording of the reason cannot be played here. Ask the builder for the reason."
    )
    assert b.awaiting() == at
    assert "4 seconds long" in b.say("repeat")


def test_at_a_hold_point_each_reason_is_read_or_played() -> None:
    other = {**GAP, "id": "other_gap", "title": "other gap"}
    b = started(GAP, other, HOLD)
    to_release(b)
    b.type(INSPECTOR)
    b.say("accept", "go_on")
    spoken_reason(b)
    b.type(INSPECTOR)
    b.say("accept", "go_on")
    said = b.type(INSPECTOR)
    assert "2 values out of limits stand: gap, other gap." in said
    assert "gap: use as is. Reason: worn but sound." in said
    assert sounds(b) == [("other gap: use as is. Reason: a recording, 4 seconds long.", "c" * 64)]


def test_the_exceptions_are_read_at_a_hold_point() -> None:
    b = started({"id": "wipe", "kind": "action"}, GAP, HOLD)
    b.say("skip", "skip_already_done")
    to_release(b)
    b.type(INSPECTOR)
    b.say("accept", "go_on")
    said = b.type(INSPECTOR)
    assert "One value out of limits stands: gap." in said
    assert "One step was not done: wipe." in said
    b.say("accept")
    assert [i.accepted for i in b.of(Inspected)] == [True]


def test_without_exceptions_that_is_said() -> None:
    assert "No exceptions" in started(HOLD).type(INSPECTOR)


ASKS = ("help", "repeat", "where_am_i", "what_is_left", "what_limit", "read_cautions", "slower")


@pytest.mark.parametrize("command", ASKS)
def test_what_is_asked_within_a_note_or_a_reason_is_answered_and_not_kept(command: str) -> None:
    b = started(GAP)
    b.say("take_note", command)
    assert b.of(NoteTaken) == []
    assert isinstance(b.awaiting(), Noting)
    b.type("the dial sticks")
    assert [n.text for n in b.of(NoteTaken)] == ["the dial sticks"]
    b.type("reading 31 thou")
    b.say("disposition_use_as_is", command)
    assert isinstance(b.awaiting(), DispositionReason)
    assert b.of(DispositionRecorded) == []


def test_after_the_answer_it_is_asked_for_again() -> None:
    b = started(GAP)
    b.say("take_note")
    assert b.say("where_am_i").endswith("Say your note now.")


def test_within_a_note_or_reason_help_names_only_what_counts_there() -> None:
    b = started(GAP)
    b.say("take_note")
    assert b.say("help").startswith("Say your note, cancel the note, ")
    b.say("cancel_note")
    b.type("reading 31 thou")
    b.say("disposition_use_as_is")
    assert b.say("help").startswith("Say your reason, cancel the reason, ")
    named = [b.say("help_more") for _ in range(6)]
    assert not [text for text in named if "step done" in text or "caution understood" in text]


def test_help_does_not_offer_the_builders_initials_to_inspect() -> None:
    b = started({"id": "hold", "kind": "inspection", "criteria": "It turns freely."})
    said = b.say("help")
    assert "inspector mike quebec" in said
    assert "inspector oscar bravo" not in said


def test_work_can_be_stopped_within_a_note() -> None:
    b = started(GAP)
    b.say("take_note", "stop_work")
    assert isinstance(b.awaiting(), Stopping)
    b.say("wrong")
    assert isinstance(b.awaiting(), Noting)


@pytest.mark.parametrize("word", ["wrong", "correction"])
def test_a_note_or_reason_can_be_left_before_it_is_said(word: str) -> None:
    b = started({"id": "wipe", "kind": "action"}, GAP)
    b.say("take_note", word)
    assert b.awaiting() == Doing()
    b.say("done")
    b.type("reading 31 thou")
    b.say("disposition_use_as_is", word)
    assert b.awaiting() == OutOfLimit(0)
    assert b.of(NoteTaken) == []
    assert replay(b.context, b.events) == b.state


def test_a_command_that_was_heard_only_half_is_kept_as_what_was_said() -> None:
    b = started(GAP)
    b.say("take_note")
    b.hear("what can i say", 0.69)
    assert [n.clip for n in b.of(NoteTaken)] == ["clip-1"]


@pytest.mark.parametrize("word", ["wrong", "correction"])
def test_a_typed_reason_is_read_back_and_can_be_replaced(word: str) -> None:
    b = started(GAP)
    b.type("reading 31 thou")
    b.say("disposition_use_as_is")
    assert "The reason is: what can i do about it." in b.type("what can i do about it")
    b.say(word, "disposition_use_as_is")
    b.type("worn", INSPECTOR)
    b.say("accept")
    assert [d.reason for d in b.of(DispositionRecorded) if d.released_by] == ["worn"]


def test_take_a_note_asks_again_where_one_is_taken_already() -> None:
    b = started(LAST)
    b.say("take_note")
    assert b.say("take_note") == "Say your note now."
    assert isinstance(b.awaiting(), Noting)
    assert b.of(NoteTaken) == []


def test_in_sessions_from_before_it_was_a_note() -> None:
    b = started(LAST)
    b.state = replace(b.state, edition=0)
    b.say("take_note")
    assert {"take_note", "cancel_note", "understood"}.isdisjoint(b.expected())
    b.say("take_note")
    assert [n.text for n in b.of(NoteTaken)] == ["take a note"]


def test_go_back_within_a_note_goes_back() -> None:
    b = started({"id": "wipe", "kind": "action"}, GAP)
    b.say("done", "take_note", "go_back")
    assert isinstance(b.awaiting(), GoingBack)
    b.say("confirm")
    assert b.state.step == "wipe"
    assert b.of(NoteTaken) == []
    assert replay(b.context, b.events) == b.state


def test_go_back_within_a_note_where_nothing_is_before() -> None:
    b = started(GAP)
    b.say("take_note")
    assert "Going on as before." in b.say("go_back")
    assert b.state.step == "gap"
    assert not isinstance(b.awaiting(), Noting)


def test_go_back_within_the_reason_of_a_value_out_of_limits_does_not_leave_it() -> None:
    b = started({"id": "wipe", "kind": "action"}, GAP)
    b.say("done")
    b.type("reading 31 thou")
    b.say("disposition_use_as_is", "take_note", "go_back")
    assert (b.state.step, b.awaiting()) == ("gap", GoingBack("wipe", back=OutOfLimit(0)))
    assert b.of(DispositionRecorded) == []
    assert replay(b.context, b.events) == b.state


@pytest.mark.parametrize("line", ["cancel the note", "cancel the reason"])
def test_a_note_is_cancelled(line: str) -> None:
    b = started({"id": "wipe", "kind": "action"}, GAP)
    b.say("take_note")
    b.type(line)
    assert b.awaiting() == Doing()
    assert b.of(NoteTaken) == []


@pytest.mark.parametrize("line", ["caution understood", "one was missed", "take it again"])
def test_a_habit_is_no_note(line: str) -> None:
    b = started(GAP)
    b.say("take_note")
    assert "is a command; it was not kept" in b.type(line)
    assert isinstance(b.awaiting(), Noting)


def test_pause_within_a_note_comes_back_to_it() -> None:
    b = started(GAP)
    b.say("take_note", "pause_listening", "resume_listening")
    assert isinstance(b.awaiting(), Noting)
    b.type("the dial sticks")
    assert [n.text for n in b.of(NoteTaken)] == ["the dial sticks"]


def test_a_note_may_have_the_words_of_a_command_among_others() -> None:
    for line in ("go back to the old seal next time", "had to stop work for the belt"):
        b = started(GAP)
        b.say("take_note")
        b.type(line)
        assert [n.text for n in b.of(NoteTaken)] == [line]


def test_a_step_that_was_left_out_after_all_is_an_exception_of_another_kind() -> None:
    b = started({"id": "wipe", "kind": "action"}, GAP, HOLD)
    b.say("done")
    to_release(b)
    b.type(INSPECTOR)
    b.say("accept")
    b.say("skip", "skip_not_fitted")
    assert b.state.step == "hold"
    said = b.type(INSPECTOR)
    assert "gap" in said
    assert "out of limits" not in said.lower()
    assert b.state.dispositions == 0
