"""kill -9 at random points of a real run, then resume: nothing acknowledged is lost or doubled."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path

import pytest

from assistant.cli.workplace import latest_session, open_store
from assistant.dialogue.core import advance
from assistant.dialogue.events import Heard
from assistant.dialogue.stand_in import Answers
from assistant.dialogue.state import State
from assistant.dialogue.states import Ended
from assistant.journal.types import Entry
from assistant.language.hypothesis import typed
from assistant.session.session import rebuild
from assistant.session.stand_in import next_line
from tests.forked import Forked
from tests.session.kit import SHAFT, Edges, MemoryJournal, demo_context, new_session, opened
from tests.systems import POSIX

pytestmark = POSIX

KILLS = 50
# Reused parts leave out the cooling wait, which would take ten real minutes.
REUSED = Answers(**{**SHAFT.__dict__, "parts": "reused"})
CONTEXT = demo_context()


RUN = ("run", "kb2_input_shaft", "--builder", "Otto Brandwick", "--inspector", "Marta Quill")
AT = "2026-01-05T08:00:00+00:00"


def lines_from(state: State) -> Iterator[str]:
    """Everything the builder still has to say from ``state`` to the end."""
    while not isinstance(state.awaiting, Ended):
        line = next_line(CONTEXT, state, REUSED)
        assert line is not None
        yield line
        state, _ = advance(CONTEXT, state, Heard(at=AT, recognition=typed(line)))


def start(folder: Path, *arguments: str) -> Forked:
    """The console command, on a keyboard."""
    store = str(folder / "records.sqlite")
    return Forked(*arguments, "--keyboard", "--voice", "silent", "--store", store)


def read_answers(process: Forked, count: int) -> list[str]:
    """Lines of output until ``count`` typed lines were taken, or the end."""
    seen: list[str] = []
    for line in process.stdout:
        if line.startswith("you  "):
            seen.append(line[5:].strip())
            if len(seen) >= count:
                break
    return seen


@pytest.mark.slow
def test_no_acknowledged_event_is_lost_or_doubled(tmp_path: Path) -> None:
    rng = random.Random(20261125)
    store = str(tmp_path / "records.sqlite")
    fresh, _ = advance(CONTEXT, State(), opened(new_session(MemoryJournal(), Edges(), CONTEXT)))
    session, state, before = "", fresh, 0
    finished: list[str] = []
    for _ in range(KILLS):
        process = start(tmp_path, *(("resume", session) if session else RUN))
        fed = list(islice(lines_from(state), rng.randint(1, 4)))
        process.stdin.write("\n".join(fed) + "\n")
        process.stdin.flush()
        taken = read_answers(process, rng.randint(1, len(fed)))
        process.kill()
        kept = open_store(store)
        session = session or latest_session(kept)
        assert kept.journal.verify(session) is None
        words = stored_lines(kept.journal.read(session))
        new = words[before:]
        # A line is shown when it is heard and stored before it is answered: all but the last one
        # shown were answered, so they must be there; nothing else may be, and nothing twice.
        assert new[: len(taken) - 1] == taken[:-1]
        assert new == fed[: len(new)]
        state, _ = rebuild(CONTEXT, kept.journal, session)
        before = len(words)
        if isinstance(state.awaiting, Ended):
            finished.append(session)
            session, state, before = "", fresh, 0
    if session:
        process = start(tmp_path, "resume", session)
        process.stdin.write("\n".join(lines_from(state)) + "\n")
        process.stdin.flush()
        for _ in process.stdout:  # to its end
            pass
        assert process.wait() == 0
        finished.append(session)
    kept = open_store(store)
    for name in finished:
        facts = [e.body for e in kept.journal.read(name) if e.kind == "fact"]
        kinds = Counter(f["kind"] for f in facts)
        assert kinds["work_finished"] == 1
        assert kinds["reading_confirmed"] == 7
        assert kinds["fastener_tightened"] == 12
        assert kept.journal.verify(name) is None


def stored_lines(entries: Iterable[Entry]) -> list[str]:
    """What was heard, as it stands in the journal."""
    return [
        " ".join(w["text"] for w in e.body["recognition"]["hypotheses"][0]["words"])
        for e in entries
        if e.kind == "event" and e.body["kind"] == "heard"
    ]
