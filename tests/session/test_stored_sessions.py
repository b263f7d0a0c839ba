"""Sessions that an earlier version stored can be resumed by this one.

``stored/values_2026_01.jsonl.gz`` holds the events and facts of a session as it was recorded
before values without limits had a verdict of their own, and before computed values had rounded
ones and uncertainties: readings, blades, computed values, shims, a guarded limit, a temperature.
``stored/tools_2026_01.jsonl.gz`` is from before what there is to say of a tool was stored by its
code, and before a position or label that sounds like another was asked about.
"""

from __future__ import annotations

import gzip
import json
from pathlib import Path

import pytest

from assistant.dialogue.context import Context
from assistant.dialogue.facts import ToolChecked
from assistant.dialogue.states import Ended
from assistant.journal.types import Entry
from assistant.language import Language
from assistant.language.english import in_english
from assistant.procedure.models import Procedure
from assistant.session.replaying import ReplayError, rebuild
from tests.session.kit import MemoryJournal

STORED = sorted((Path(__file__).parent / "stored").glob("*.jsonl.gz"))
TOOLS, VALUES = STORED
AT = "2026-01-05T08:00:00+00:00"


def journal_of(path: Path) -> MemoryJournal:
    lines = gzip.decompress(path.read_bytes()).decode().splitlines()
    read = [json.loads(line) for line in lines]
    return MemoryJournal(
        [Entry(e["kind"], AT, e["body"], None, None, "s1", i) for i, e in enumerate(read, 1)]
    )


def context_of(journal: MemoryJournal) -> Context:
    procedure = Procedure.model_validate(journal.entries[0].body["procedure"])
    return Context(procedure, Language.load("en-US"))


@pytest.mark.parametrize("path", STORED, ids=lambda p: p.name)
def test_it_replays_to_its_end(path: Path) -> None:
    journal = journal_of(path)
    state, seq = rebuild(context_of(journal), journal, "s1")
    assert state.awaiting == Ended()
    assert seq == len(journal.entries)


@pytest.mark.parametrize("kind", ["reading_confirmed", "value_derived", "shims_chosen"])
def test_a_value_that_was_changed_in_it_is_still_found(kind: str) -> None:
    journal = journal_of(VALUES)
    place, old = next(
        (i, e) for i, e in enumerate(journal.entries) if e.kind == "fact" and e.body["kind"] == kind
    )
    body = json.loads(json.dumps(old.body).replace('"thou"', '"mm"'))
    journal.entries[place] = Entry("fact", AT, body, None, None, "s1", old.seq)
    with pytest.raises(ReplayError, match=f"entry {old.seq}"):
        rebuild(context_of(journal), journal, "s1")


def test_a_verdict_of_out_is_not_taken_for_one_without_limits() -> None:
    journal = journal_of(VALUES)
    place, old = next(
        (i, e)
        for i, e in enumerate(journal.entries)
        if e.kind == "fact" and e.body["kind"] == "reading_confirmed"
    )
    body = {**old.body, "judgement": {**old.body["judgement"], "verdict": "out"}}
    journal.entries[place] = Entry("fact", AT, body, None, None, "s1", old.seq)
    with pytest.raises(ReplayError):
        rebuild(context_of(journal), journal, "s1")


def test_what_was_said_of_a_tool_must_be_the_very_sentence() -> None:
    journal = journal_of(TOOLS)
    place, old = next(
        (i, e)
        for i, e in enumerate(journal.entries)
        if e.kind == "fact" and e.body["kind"] == "tool_checked"
    )
    assert "states no calibration date" in old.body["findings"][0]
    body = {**old.body, "findings": ["It is as good as new.", *old.body["findings"][1:]]}
    journal.entries[place] = Entry("fact", AT, body, None, None, "s1", old.seq)
    with pytest.raises(ReplayError, match=f"entry {old.seq}"):
        rebuild(context_of(journal), journal, "s1")


def test_a_sentence_of_an_older_record_is_shown_as_it_is() -> None:
    facts = [e.body for e in journal_of(TOOLS).entries if e.kind == "fact"]
    stored = next(f for f in facts if f["kind"] == "tool_checked")
    checked = ToolChecked.model_validate(stored)
    assert [in_english(finding) for finding in checked.findings] == stored["findings"]
