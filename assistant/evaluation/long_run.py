"""Many readings, one by one, kept in a file: to find out how often a wrong value is taken unasked.

Each reading is one line of JSON, written as soon as it was judged. A run that broke off goes on
where it stopped, and several processes can share the work, each with a part and a file of its own.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from itertools import pairwise
from math import exp, inf
from pathlib import Path

from assistant.evaluation.conditions import HearingCondition
from assistant.evaluation.corpora import CorpusItem
from assistant.evaluation.measured import MeasuredListener
from assistant.evaluation.statistics import Rate
from assistant.evaluation.table import markdown
from assistant.evaluation.trial import SAID_AGAIN, attempt, judge
from assistant.speech.errors import SpeechError


@dataclass(frozen=True)
class Judged:
    """One reading: which of the run, what was said how, what was heard and the outcome.

    ``outcome`` and ``why`` are those of :class:`assistant.evaluation.trial.Result`; ``right``:
    the value in front was the one said, whether it was asked for or not.
    """

    number: int
    seed: int
    listener: str
    condition: str
    voice: str
    said: str
    heard: str
    confidence: float
    outcome: str
    why: str
    exact: bool
    right: bool
    lead: float | None = None


@dataclass(frozen=True)
class RunPart:
    """Every ``of``-th reading, beginning with number ``which`` (1 to ``of``)."""

    which: int = 1
    of: int = 1

    @staticmethod
    def read(text: str) -> RunPart:
        """ "1/2" is the first half.

        Raises:
            SpeechError: the text is not a part.
        """
        which, slash, of = text.partition("/")
        if not (slash and which.isdigit() and of.isdigit() and 1 <= int(which) <= int(of)):
            raise SpeechError(
                f"'{text}' is not a part; write for instance 1/2 for the first of two."
            )
        return RunPart(int(which), int(of))

    def has(self, number: int) -> bool:
        """Whether reading ``number`` (from 0) belongs to this part."""
        return number % self.of == self.which - 1


def kept(path: Path) -> list[Judged]:
    """The readings in ``path``, none when there is no such file. A torn last line is left out.

    Raises:
        SpeechError: another line is not of such a run.
    """
    if not path.is_file():
        return []
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    found = []
    for number, line in enumerate(lines, 1):
        if not line.endswith("\n"):
            break
        try:
            found.append(Judged(**json.loads(line)))
        except (ValueError, TypeError):
            raise SpeechError(
                f"{path}, line {number} is not a judged reading; name another file."
            ) from None
    return found


def go_on(
    path: Path,
    measured: MeasuredListener,
    items: Sequence[CorpusItem],
    conditions: Sequence[HearingCondition],
    part: RunPart,
) -> None:
    """Judge what is missing in ``path`` of ``items``, the conditions taken in turn."""
    name, language, seed = measured.name, measured.language, measured.seed
    known = kept(path)
    done = {(j.number, j.seed, j.listener) for j in known}
    todo = [n for n in range(len(items)) if part.has(n) and (n, seed, name) not in done]
    if not todo:
        return
    path.write_text("".join(_line(j) for j in known), encoding="utf-8")  # a torn line goes
    listener = measured.load()
    with path.open("a", encoding="utf-8") as file:
        for at, number in enumerate(todo):
            condition = conditions[number // part.of % len(conditions)]
            item = items[number]
            trial = attempt(listener, language, item, condition, seed)
            result = judge(trial, language, measured.trust)
            judged = Judged(
                number, seed, name, condition.name, item.voice, item.text, result.heard,
                round(result.confidence, 3), result.outcome, result.why, result.exact,
                bool(result.value_right), None if result.lead is None else round(result.lead, 2),
            )  # fmt: skip
            file.write(_line(judged))
            file.flush()
            if at % 50 == 0:
                measured.tell(f"{name}: reading {at} of {len(todo)}")


def _line(judged: Judged) -> str:
    return json.dumps(asdict(judged)) + "\n"


def many_tables(found: Iterable[Judged]) -> str:
    """All tables of such a run."""
    judged = list(found)
    wrong = f"Taken wrong unasked:\n\n{wrong_table(judged)}"
    return f"{long_table(judged)}\n\n{cause_table(judged)}\n\n{lead_table(judged)}\n\n{wrong}"


def long_table(found: Iterable[Judged]) -> str:
    """A line for each listener and condition, each voice, and one for all of a listener."""
    judged = list(found)
    rows = [_row(name, group, lines) for name, group, lines in _grouped(judged)]
    columns = ("listener", "condition or voice", "readings", "value %", "wrong value unasked %")
    return markdown((*columns, "asked %", "repeated %"), rows)


def cause_table(found: Iterable[Judged]) -> str:
    """Why phrases had to be repeated: a line for each condition."""
    again = [(j.condition, _cause(j)) for j in found if j.outcome in SAID_AGAIN]
    causes = sorted({cause for _, cause in again})
    rows = [
        (condition, *(str(again.count((condition, cause))) for cause in causes))
        for condition in dict.fromkeys(condition for condition, _ in again)
    ]
    return markdown(("repeated", *causes), rows)


def lead_table(found: Iterable[Judged]) -> str:
    """How often values that led by so many nats were right, and how often they should be."""
    leads = [(j.lead, j.right) for j in found if j.lead is not None]
    rows = []
    for low, high in pairwise((-inf, 1.0, 2.0, 4.0, 6.0, 8.0, 10.0, 15.0, inf)):
        inside = [(lead, right) for lead, right in leads if low <= lead < high]
        expected = sum(1 / (1 + exp(-lead)) for lead, _ in inside) / max(1, len(inside))
        right = Rate(sum(right for _, right in inside), len(inside))
        rows.append((f"{low:g} to {high:g}", str(len(inside)), f"{100 * expected:.2f}", str(right)))
    return markdown(("lead, nats", "answers", "right by the lead %", "right %"), rows)


def _cause(judged: Judged) -> str:
    named = {"alternative": "small lead", "unsure": "explains the sound poorly"}
    return named.get(judged.why, judged.why) or "not heard"


def wrong_table(found: Iterable[Judged]) -> str:
    """Every value that was taken wrong without asking."""
    rows = [
        (
            j.listener,
            j.condition,
            j.voice,
            j.said,
            j.heard,
            f"{j.confidence:.2f}",
            "-" if j.lead is None else f"{j.lead:.1f}",
        )
        for j in found
        if j.outcome == "wrong"
    ]
    return markdown(("listener", "condition", "voice", "said", "taken", "confidence", "lead"), rows)


def _grouped(found: list[Judged]) -> Iterator[tuple[str, str, list[Judged]]]:
    for name in dict.fromkeys(j.listener for j in found):
        own = [j for j in found if j.listener == name]
        for condition in dict.fromkeys(j.condition for j in own):
            yield name, condition, [j for j in own if j.condition == condition]
        for voice in sorted({j.voice for j in own}):
            yield name, voice, [j for j in own if j.voice == voice]
        yield name, "all", own


def _row(name: str, condition: str, lines: list[Judged]) -> tuple[str, ...]:
    def share(hit: Callable[[Judged], bool]) -> str:
        return str(Rate(sum(map(hit, lines)), len(lines)))

    return (
        name,
        condition,
        str(len(lines)),
        share(lambda j: j.right),
        share(lambda j: j.outcome == "wrong"),
        share(lambda j: j.outcome == "asked"),
        share(lambda j: j.outcome in SAID_AGAIN),
    )
