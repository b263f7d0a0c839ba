"""Plays the transcripts of the guide: each page's steps, with what its builder says."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from assistant.dialogue.context import Context
from assistant.dialogue.effects import FetchPicture, Say
from assistant.dialogue.events import LocalTime
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.state import State
from assistant.language import Language
from assistant.language.hypothesis import typed
from assistant.procedure.kinds import STEP_KINDS
from assistant.procedure.models import Procedure
from assistant.report.kinds import KINDS
from assistant.report.record import build_record
from assistant.report.sheet.blocks import Block, Cell, Heading, Paragraph, Row, Table
from assistant.report.sheet.page import Page
from assistant.report.sheet.sections import sections
from assistant.session.edges import EndOfInput, Picture, Screen, Sound
from assistant.session.rehearsal import answers_for
from assistant.session.stand_in import next_line
from tests.procedure.guide import FOLDER, GuidePage, added_to_the_example, pages, told
from tests.session.kit import (
    START,
    Edges,
    MemoryJournal,
    StandInInput,
    new_session,
    opened,
)

_SHARED = ("Materials", "Cautions and torques acknowledged", "Notes", "Pictures")
_LEFT_OUT = ("Other unit", "Against the limits")
_STEP = re.compile(r"step \d+$")
_OPENS = re.compile(r"^Step \d+ of \d+\. (?P<title>.*)\.$")


@dataclass
class TalkEdges(Edges):
    """Keeps what is said while one of the page's steps is done; ``screen`` sees everything."""

    titles: frozenset[str] = frozenset()
    left: list[str] = field(default_factory=list)  # what the builder has still to say
    lines: list[str] = field(default_factory=list)
    done: set[str] = field(default_factory=set)  # titles
    screen: Screen | None = None
    inside: bool = False

    def heard(self, sound: Sound) -> None:
        if self.inside:
            self.lines.append(f"> {sound.recognition.hypotheses[0].text}")
        if self.screen is not None:
            self.screen.heard(sound)

    def said(self, said: Say) -> None:
        opens = _OPENS.match(said.shown or said.text)
        if opens:
            self.inside = opens["title"] in self.titles and bool(self.left)
            self.done |= {opens["title"]} if self.inside else set()
        if self.inside and said.text:
            self.lines.append(said.text[:1].upper() + said.text[1:])
        if self.screen is not None:
            self.screen.said(said)

    def recorded(self, fact: AnyFact) -> None:
        super().recorded(fact)
        if self.screen is not None:
            self.screen.recorded(fact)

    def state(self, state: State) -> None:
        if self.screen is not None:
            self.screen.state(state)


@dataclass
class TalkInput(StandInInput):
    """Hears the page's lines in its steps, and the stand-in builder elsewhere.

    ``stops``: the work ends when the lines do.
    """

    steps: frozenset[str] = frozenset()
    lines: list[str] = field(default_factory=list)
    stops: bool = False

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        if self.stops and not self.lines and self.session.state.step in self.steps:
            raise EndOfInput
        waits = next_line(self.session.context, self.session.state, self.answers) is None
        if self.session.state.step not in self.steps or not self.lines or waits:
            return super().hear(expected, patience_s)
        return Sound(typed(self.lines.pop(0)))


class NewestPicture:
    """A folder in which a picture has just appeared."""

    def fetch(self, wanted: FetchPicture) -> Picture:
        return Picture("KB2_0042.jpg", "0" * 64, "jpeg", 41_000, START.isoformat())


def context_of(page: GuidePage) -> Context:
    """A procedure of the page's steps, and what they name."""
    procedure = Procedure.model_validate(added_to_the_example(page, alone=True))
    return Context(procedure, Language.load(procedure.language))


@dataclass(frozen=True)
class Played:
    """What was said, and what the record shows."""

    talk: list[str]
    record: list[str]
    ended: str | None


def play(
    page: GuidePage,
    screen: Screen | None = None,
    most: int | None = None,
    start: datetime = START,
) -> Played:
    """The page's talk, once more; only its first ``most`` lines, if that is given."""
    context = context_of(page)
    own = frozenset(page.steps)
    titles = frozenset(s.title for s in context.procedure.steps if s.id in own)
    lines = page.lines[:most]
    edges = TalkEdges(titles=titles, left=lines, screen=screen)
    journal = MemoryJournal()
    session = new_session(journal, edges, context, start, NewestPicture())
    session.open(opened(session).model_copy(update={"talk": "new", "local": LocalTime(minutes=0)}))
    answers = replace(answers_for(context), inspector="MQ")
    heard = TalkInput(session, answers, steps=own, lines=lines, stops=most is not None)
    ended = session.run(heard)
    return Played(edges.lines, _record(edges.done, journal), ended)


def _record(titles: set[str], journal: MemoryJournal) -> list[str]:
    """What the printed record has about these steps, section by section, in one line a row."""
    record = build_record(journal.entries)
    laid = Page(record, ZoneInfo("UTC"))
    own = [step for step in record.steps if step.title in titles]
    lines = []
    for section in sections(laid):
        rows = []
        for step in own:
            kind = KINDS[STEP_KINDS.index(step.kind)]
            if kind.section == section.title:
                rows += [line for block in kind.part(laid, step) for line in _in_lines(block)]
        if section.title in _SHARED:
            marks = {f"step {step.number}" for step in own}
            rows += [
                line
                for block in section.blocks
                if isinstance(block, Table)
                for line in _in_lines(replace(block, rows=_about(block, marks)))
            ]
        lines += [section.title, *(f"  {row}" for row in dict.fromkeys(rows))] if rows else []
    return lines


def _about(table: Table, marks: set[str]) -> tuple[Row, ...]:
    """The rows that name one of the steps."""
    return tuple(r for r in table.rows if marks & {m for c in r.cells for m in c.small.split(", ")})


def _in_lines(block: Block) -> list[str]:
    """A block without its drawings."""
    match block:
        case Paragraph(text=text):
            return [_plain(text)]
        case Heading(text=text, small=small):
            return [_plain(f"{text}: {small}" if small else text)]
        case Table(columns=columns, rows=rows) if rows:
            shown = [n for n, c in enumerate(columns) if c.title not in _LEFT_OUT]
            cells = [[_cell(row.cells[n]) for n in shown] for row in rows]
            heads = [columns[n].title for n in shown]
            filled = [n for n in range(len(shown)) if {row[n] for row in cells} - {"", "none"}]
            return [_plain(" | ".join(row[n] for n in filled)) for row in (heads, *cells)]
        case _:
            return []


def _cell(cell: Cell) -> str:
    return ", ".join(filter(None, (cell.text, "" if _STEP.match(cell.small) else cell.small)))


def _plain(text: str) -> str:
    return re.sub(r"[\u00a0\u2009]", " ", text)


def write() -> None:
    """Write the talk, the record and what check says on every page again."""
    for page in pages():
        played = play(page)
        written = page.with_blocks(played.talk, played.record)
        for mistake in page.mistakes:
            written = written.with_told(mistake, told(page, mistake))
        (FOLDER / f"{page.name}.md").write_text(written.text, encoding="utf-8")


if __name__ == "__main__":
    write()
