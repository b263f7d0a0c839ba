"""Words that were understood are answered with a way out; help is short, and there is more."""

from __future__ import annotations

import pytest

from assistant.dialogue.facts import NoteTaken
from assistant.language.spec import Command, ListenSpec
from tests.dialogue.kit import Bench, procedure

FLOAT = {
    "id": "float", "kind": "measurement", "quantity": "end float", "unit": "thou",
    "gauge": "dial", "lower": "1 thou", "upper": "5 thou",
}  # fmt: skip
WIPE = {"id": "wipe", "kind": "action", "say": "Wipe the bore."}
FIT = {"id": "fit", "kind": "action", "say": "Fit the ring.", "cautions": ["Sharp edge."]}


def after_a_reading() -> Bench:
    b = Bench(procedure(FLOAT, WIPE, FIT), talk="usual")
    b.start()
    b.type("reading 3 thou")
    b.say("go_on")
    assert b.state.step == "wipe"
    return b


@pytest.mark.parametrize(
    "line",
    [
        "correction",
        "that is wrong",
        "take it again",
        "reading 4 thou",
        "blade 2 goes",
        "reading twelve newton meters",
    ],
)
def test_what_would_change_a_recorded_value_is_told_the_way_back(line: str) -> None:
    said = after_a_reading().type(line)
    assert "three thou is recorded at float. To take it back, say go back." in said


@pytest.mark.parametrize(
    "line",
    [
        "torque understood",
        "inspection accepted",
        "use as is",
        "kilo bravo two one seven",
        "bravo",
        "one point five",
        "inspector mike quebec",
    ],
)
def test_a_command_of_another_moment_is_told_what_is_awaited(line: str) -> None:
    b = after_a_reading()
    assert b.type(line) == "That does not fit here. Say step done, or ask: what can i say."
    assert b.state.step == "wipe"


def test_letters_typed_in_a_row_are_not_taken_for_a_spelling() -> None:
    assert after_a_reading().type("rag").startswith("Not understood: rag.")


@pytest.mark.parametrize("line", ["top", "bolt two"])
def test_a_name_of_another_step_is_told_what_is_awaited(line: str) -> None:
    places = {**FLOAT, "id": "places", "positions": ["top", "bottom"]}
    bolts = {"id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10 lbf*ft",
             "fasteners": ["bolt one", "bolt two"], "thread": "dry"}  # fmt: skip
    b = Bench(procedure(WIPE, places, bolts), talk="usual")
    b.start()
    assert b.type(line).startswith("That does not fit here. Say step done")


def test_with_a_gauge_that_goes_or_does_not_help_says_so_first() -> None:
    b = Bench(procedure({**FLOAT, "gauge": "feelers"}), talk="usual")
    b.start()
    assert b.say("help").startswith("Say what goes, and what won't, reading, and the value")


def test_go_back_is_not_named_where_it_cannot_be_said() -> None:
    b = Bench(procedure(FLOAT, {**FLOAT, "id": "again"}), talk="usual")
    b.start()
    b.type("reading 3 thou")
    b.say("go_on")
    b.type("reading 9 thou")
    b.say("disposition_use_as_is")
    b.type("worn but sound")
    said = b.type("take it again")
    assert said == "That does not fit here. Say inspector mike quebec, or ask: what can i say."


def test_only_words_that_mean_nothing_are_not_understood() -> None:
    assert "Not understood: bananas" in after_a_reading().type("bananas")


@pytest.mark.parametrize(
    ("line", "near"),
    [
        ("done", "step done"),
        ("repeat", "repeat that"),
        ("caution", "read the cautions"),
        ("torque", "what torque"),
        ("stopwork", "stop work"),
    ],
)
def test_a_part_of_a_phrase_is_told_the_whole(line: str, near: str) -> None:
    b = after_a_reading()
    before = b.state
    assert b.type(line) == f"Not understood: {line}. Say {near}, or ask: what can i say."
    assert b.state.awaiting == before.awaiting


def test_where_a_reading_is_awaited_one_that_is_not_heard_gets_no_way_back() -> None:
    b = Bench(procedure(FLOAT, {**FLOAT, "id": "again"}), talk="usual")
    b.start()
    b.type("reading 3 thou")
    b.say("go_on")
    said = b.type("reading twelve newton meters")
    assert said.startswith("That does not fit here. Say reading, and the value")


@pytest.mark.parametrize("line", ["bananas", "inspection accepted", "reading 1,5 thou"])
def test_repeat_repeats_the_instruction_and_not_the_error(line: str) -> None:
    b = after_a_reading()
    b.type(line)
    assert "Wipe the bore." in b.say("repeat")
    assert "not fit" not in b.say("repeat")


def test_help_names_at_most_five_things_what_is_awaited_first_and_goes_on() -> None:
    b = after_a_reading()
    said = b.say("help")
    assert said.startswith("Say step done, go on, ")
    assert said.endswith("More: what else can i say.")
    assert said.count(",") <= 5
    seen = [said]
    while "That is all." not in seen[-1]:
        seen.append(b.say("help_more"))
        assert len(seen) < 10
    for command in ("stop_work", "take_note", "fewer_words", "go_back"):
        assert any(b.context.language.phrase_for(command) in text for text in seen)


def test_paused_it_names_the_one_phrase_that_wakes_it() -> None:
    b = after_a_reading()
    b.say("pause_listening")
    assert b.type("step done") == "Not listening. Say start listening again."
    assert b.state.step == "wipe"


@pytest.mark.parametrize("line", ["step done", "go on", "that is right", "skip this step"])
def test_a_command_said_within_a_note_is_not_kept_as_one(line: str) -> None:
    b = after_a_reading()
    b.say("take_note")
    assert f"{line} is a command; it was not kept." in b.type(line)
    b.type("burr on the edge")
    assert [n.text for n in b.of(NoteTaken)] == ["burr on the edge"]
    assert b.state.step == "wipe"


def test_no_question_asks_for_words_that_are_a_command_of_something_else() -> None:
    language = after_a_reading().context.language
    spec = ListenSpec(commands=language.command_ids)
    text = language.prompt("digits_ask", why="", value="")
    for part in text.replace(".", ",").split(","):
        words = part.strip().lower().removeprefix("or ").removeprefix("say ")
        meant = [m for m in language.interpret(spec, words) if isinstance(m, Command)]
        assert all(m.id == "wrong" for m in meant), part
