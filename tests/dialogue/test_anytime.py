"""Commands for any moment change nothing of the work."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.effects import AdjustVoice, Chime, EndSession
from assistant.dialogue.events import EquipmentChanged, Heard, Resumed
from assistant.dialogue.expectation import listening
from assistant.dialogue.facts import NoteTaken, WorkStopped
from assistant.language.hypothesis import Recognition
from assistant.language.spec import ListenSpec
from tests.dialogue.kit import Bench, procedure, replay

STEP = {"id": "wipe", "kind": "action", "say": "Wipe the bore.", "cautions": ["Sharp edge."]}
NEXT = {"id": "fit", "kind": "action", "say": "Fit the ring."}
BESIDE = [
    c
    for c in ANYTIME
    if c not in ("take_note", "attach_picture", "pause_listening", "stop_work", "fewer_words")
]


def started() -> Bench:
    b = Bench(procedure(STEP, NEXT))
    b.start()
    b.say("understood")
    return b


@pytest.mark.parametrize("command", BESIDE)
def test_an_answer_beside_the_work_changes_nothing(command: str) -> None:
    b = started()
    before = b.state
    assert b.say(command)
    assert replace(b.state, rate_steps=0, volume_steps=0, helped=0) == before
    assert b.facts == started().facts


def test_repeat_gives_the_last_words_of_the_work() -> None:
    b = started()
    b.say("louder")
    assert "Wipe the bore" in b.say("repeat")


def test_louder_and_slower_reach_the_voice() -> None:
    b = started()
    b.say("louder")
    assert AdjustVoice("volume", 1) in b.effects
    b.say("slower")
    assert AdjustVoice("rate", -1) in b.effects


def test_a_voice_that_was_set_is_set_again_on_resuming() -> None:
    b = started()
    b.say("slower", "slower", "louder")
    b.feed(Resumed(at=b.at()))
    adjusted = [e for e in b.effects if isinstance(e, AdjustVoice)]
    assert adjusted == [AdjustVoice("rate", -2), AdjustVoice("volume", 1)]
    assert replay(b.context, b.events) == b.state


@pytest.mark.parametrize("command", ["slower", "faster", "louder", "quieter"])
def test_the_voice_is_moved_only_as_far_as_it_can_be_followed(command: str) -> None:
    b = started()
    said = [b.say(command) for _ in range(9)]
    assert said[-1] == "That is as far as the voice goes."
    assert not [e for e in b.effects if isinstance(e, AdjustVoice)]
    back = {"slower": "faster", "faster": "slower", "louder": "quieter", "quieter": "louder"}
    b.say(back[command])  # one step back is one step, however often it was asked for more
    assert [abs(e.steps) for e in b.effects if isinstance(e, AdjustVoice)] == [1]
    b.feed(Resumed(at=b.at()))
    (again,) = [e for e in b.effects if isinstance(e, AdjustVoice)]
    assert abs(again.steps) in (1, 2, 3)


def test_cautions_are_read_again() -> None:
    assert "Sharp edge" in started().say("read_cautions")


def test_where_and_what_is_left() -> None:
    b = started()
    assert "Step 1 of 2" in b.say("where_am_i")
    assert "fit" in b.say("what_is_left")


def test_help_names_what_fits_now() -> None:
    b = started()
    assert b.context.language.phrase_for("done") in b.say("help")


def test_paused_it_hears_only_being_resumed() -> None:
    b = started()
    b.say("pause_listening")
    assert listening(b.context, b.state).spec == ListenSpec(commands=("resume_listening",))
    b.say("done")
    assert b.state.step == "wipe"
    b.say("resume_listening", "done")
    assert b.state.step == "fit"


def test_a_note_keeps_the_clip_and_returns() -> None:
    b = started()
    b.say("take_note")
    assert listening(b.context, b.state).free
    b.feed(Heard(at=b.at(), recognition=Recognition((), "test"), clip="clip-9"))
    (note,) = b.of(NoteTaken)
    assert (note.clip, note.step) == ("clip-9", "wipe")
    b.say("done")
    assert b.state.step == "fit"


def test_stopping_is_confirmed_and_resumed_where_it_was() -> None:
    b = started()
    b.say("stop_work", "wrong")
    assert b.of(WorkStopped) == []
    b.say("stop_work", "confirm")
    assert EndSession("stopped") in b.effects
    b.say("done")
    assert b.state.step == "wipe"
    said = b.feed(Resumed(at=b.at()))
    assert "Wipe the bore" in said
    b.say("done")
    assert b.state.step == "fit"


def test_noise_without_words_does_nothing_at_all() -> None:
    b = started()
    before = b.state
    b.feed(Heard(at=b.at(), recognition=Recognition((), "test")))
    assert b.effects == ()
    assert b.state == before


@pytest.mark.uncounted
def test_words_outside_the_grammar_chime_and_typed_ones_are_told() -> None:
    b = started()
    b.hear("purple elephant")
    assert b.effects == (Chime("again"),)
    assert "Not understood" in b.type("purple elephant")


def test_a_second_listener_with_another_command_stops_the_first() -> None:
    b = started()
    b.hear(b.context.language.phrase_for("done"), second=b.context.language.phrase_for("skip"))
    assert b.effects == (Chime("again"),)
    assert b.state.step == "wipe"


def test_failing_equipment_is_told_aloud() -> None:
    b = started()
    said = b.feed(
        EquipmentChanged(at=b.at(), part="microphone", working=False, detail="Microphone gone.")
    )
    assert said == "Microphone gone."
    assert b.state.broken == {"microphone"}


def test_a_command_that_moves_the_work_on_must_be_heard_more_surely() -> None:
    b = started()
    b.hear(b.context.language.phrase_for("done"), confidence=0.6)
    assert b.effects == (Chime("again"),)
    assert b.state.step == "wipe"
    assert b.hear(b.context.language.phrase_for("where_am_i"), confidence=0.6)
    b.hear(b.context.language.phrase_for("done"), confidence=0.75)
    assert b.state.step == "fit"
