"""Stages in the record: what each pass did, what moved in a check, and what no longer counts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC

import pytest

from assistant.report.html import to_html
from assistant.report.torque_map import torque_map
from tests.dialogue.kit import PEOPLE, procedure
from tests.dialogue.test_own_wrench import own
from tests.dialogue.test_stages import HEAD, ROUND, TORQUES
from tests.report.test_from_dialogue import KeptBench

CHECKED = {
    **HEAD,
    "stages": [TORQUES[1], {"loosen": "180 deg"}, TORQUES[0], {"turn": "90 deg"}],
    "left_hand": True,
}
FLANGE = {
    **HEAD, "id": "flange", "whole_pass": True,
    "stages": [*TORQUES, {"check": "20 lbf*ft", "pattern": "ring"}],
}  # fmt: skip


def done(step: Mapping[str, object], *commands: str) -> KeptBench:
    """The session after these commands at the step."""
    b = KeptBench(procedure(step))
    b.open(PEOPLE, own(resolution="0.5 lbf*ft"))
    b.type("charlie")
    b.say("confirm", *commands)
    return b


def test_each_pass_says_what_it_did() -> None:
    (line,) = done(CHECKED, *ROUND * 4).record().tightenings
    assert [(p.work, str(p.torque), p.turn and str(p.turn)) for p in line.passes] == [
        ("torque", "20 lbf*ft", None), ("loosen", "None", "180 deg"),
        ("torque", "10 lbf*ft", None), ("turn", "None", "90 deg"),
    ]  # fmt: skip
    assert line.left_hand
    assert (str(line.target), str(line.angle)) == ("10 lbf*ft", "90 deg")
    assert [torque_map(line, p).caption for p in line.passes[1::2]] == [
        "Pass 2: loosen by 180°", "Pass 4: turn of 90°"
    ]  # fmt: skip
    assert "Pass 4, turn of 90°, in this order:" in torque_map(line, line.passes[3]).label


def test_a_check_that_was_repeated_stays_as_evidence_and_counts_no_more() -> None:
    whole = ["understood", "pass_done", "confirm"]
    b = done(FLANGE, *whole, *whole, "understood", "done", "moved", "done", "done", *whole)
    (line,) = b.record().tightenings
    first, again = [p for p in line.passes if p.work == "check"]
    assert [t.fastener for t in first.tightened if t.moved] == ["bolt two"]
    assert {t.void_why for t in first.tightened} == {"one moved, all were checked again"}
    assert not any(t.void_since or t.moved for t in again.tightened)
    assert [t.order for t in again.tightened] == [1, 2, 3, 4]
    assert all(t.together for t in again.tightened)


def test_the_page_shows_turns_checks_and_whole_passes() -> None:
    whole = ["understood", "pass_done", "confirm"]
    b = done(FLANGE, *whole, *whole, "understood", "moved", "done", "done", "done", *whole)
    page = to_html(b.record(), zone=UTC)
    assert "moved: bolt one" in page
    assert "none moved" in page
    assert "4 said done for the whole pass at once" in page


@pytest.mark.parametrize(
    ("commands", "told"),
    [
        (ROUND, "pass 2: every fastener; pass 3: every fastener; pass 4: every fastener."),
        (ROUND * 3, "pass 4: every fastener."),
        ([*ROUND * 3, "understood", "done"], "pass 4: bolt two, bolt three, bolt four."),
    ],
)
def test_passes_that_were_never_announced_are_lacking(commands: list[str], told: str) -> None:
    page = to_html(done(HEAD, *commands, "skip", "skip_not_fitted").record(), zone=UTC)
    assert f"Not tightened: {told}" in page
    assert "NOT COMPLETE" in page
    assert "every fastener tightened" not in page


def test_page_one_tells_how_many_passes_were_begun_of_how_many() -> None:
    part = to_html(done(HEAD, *ROUND, "skip", "skip_not_fitted").record(), zone=UTC)
    assert "NOT COMPLETE, 2 of 4 passes" in part
    whole = to_html(done(HEAD, *ROUND * 4, "go_on").record(), zone=UTC)
    assert "every fastener tightened, 4 passes" in whole
    assert "Not tightened: " not in whole
