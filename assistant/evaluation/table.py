"""The bench's reports as tables to read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from assistant.evaluation.bench import BenchRow, Report, by_voice
from assistant.evaluation.statistics import Rate
from assistant.evaluation.trial import SAID_AGAIN

_COLUMNS = (
    "listener",
    "corpus",
    "condition",
    "n",
    "exact %",
    "value %",
    "wrong value unasked %",
    "wrong action %",
    "repeated %",
    "WER %",
    "decision ms, median / 95th",
    "processor ms",
    "RTF",
)


def rows_table(rows: Iterable[BenchRow]) -> str:
    """Every row with its Wilson intervals at 95 %."""
    return markdown(_COLUMNS, [_cells(r) for r in rows])


def _or_dash(number: float | None) -> str:
    return "-" if number is None else f"{number:.0f}"


def loads_table(reports: Iterable[Report]) -> str:
    """Load time and memory of each listener."""
    return markdown(
        ("listener", "load s", "peak memory MB"),
        [(r.listener, f"{r.load_s:.2f}", _or_dash(r.memory_mb)) for r in reports],
    )


def spurious_table(reports: Iterable[Report]) -> str:
    """What non-command sound set off."""
    return markdown(
        ("listener", "hours", "set off", "per hour", "examples"),
        [
            (
                s.listener,
                f"{s.hours:.2f}",
                str(s.count),
                f"{s.per_hour:.1f}",
                "; ".join(f"{sound} in {state}: {text}" for sound, state, text in s.examples[:3]),
            )
            for report in reports
            for s in report.spurious
        ],
    )


def voices_table(reports: Iterable[Report]) -> str:
    """Each speaker in the quiet, over all corpora."""
    lines = []
    for report in reports:
        for (listener, voice), results in by_voice(report.rows).items():
            count = len(results)
            exact = Rate(sum(r.exact for r in results), count)
            again = Rate(sum(r.outcome in SAID_AGAIN for r in results), count)
            lines.append((listener, voice, str(count), str(exact), str(again)))
    return markdown(("listener", "voice", "n", "exact %", "repeated %"), lines)


def causes_table(reports: Iterable[Report]) -> str:
    """Why things had to be repeated: how often each cause, by corpus and condition."""
    rows = [row for report in reports for row in report.rows]
    causes = sorted({cause for row in rows for cause in row.causes})
    return markdown(
        ("listener", "corpus", "condition", "n", *causes),
        [
            (
                row.listener,
                row.corpus,
                row.condition,
                str(len(row.results)),
                *(str(row.causes[cause]) for cause in causes),
            )
            for row in rows
            if row.causes
        ],
    )


def reliability_table(reports: Iterable[Report]) -> str:
    """How often what leads by so many nats is right, beside how often that lead says it is."""
    return markdown(
        ("listener", "lead, nats", "answers", "right by the lead %", "right %"),
        [
            (
                report.listener,
                f"{low:g} to {high:g}",
                str(rate.tries),
                f"{100 * expected:.1f}",
                str(rate),
            )
            for report in reports
            for low, high, expected, rate in report.reliability
            if rate.tries
        ],
    )


def operating_table(reports: Iterable[Report]) -> str:
    """What other thresholds of rejection would do."""
    return markdown(
        ("listener", "reject below", "set off per hour", "commands missed %"),
        [
            (report.listener, f"{p.reject:.2f}", f"{p.per_hour:.1f}", str(p.missed))
            for report in reports
            for p in report.operating
        ],
    )


def whole(reports: Sequence[Report]) -> str:
    """All tables under their headings."""
    parts = [
        "Hearing, rates in per cent with Wilson intervals at 95 %:",
        rows_table(row for report in reports for row in report.rows),
        "Speakers, in the quiet:",
        voices_table(reports),
        "Load:",
        loads_table(reports),
    ]
    if any(report.spurious for report in reports):
        parts += ["Sound that is not a command:", spurious_table(reports)]
        parts += ["Other thresholds of rejection:", operating_table(reports)]
    parts += ["Why it had to be repeated:", causes_table(reports)]
    parts += ["Reliability of the lead:", reliability_table(reports)]
    return "\n\n".join(parts)


def _cells(row: BenchRow) -> tuple[str, ...]:
    return (
        row.listener,
        row.corpus,
        row.condition,
        str(len(row.results)),
        str(row.exact),
        str(row.value),
        str(row.wrong_value),
        str(row.wrong_action),
        str(row.again),
        f"{100 * row.word_error_rate:.1f}",
        f"{1000 * row.decision_s(0.5):.0f} / {1000 * row.decision_s(0.95):.0f}",
        f"{1000 * row.processor_s:.0f}",
        f"{row.real_time_factor:.2f}",
    )


def markdown(columns: Sequence[str], lines: Sequence[Sequence[str]]) -> str:
    widths = (
        [max(len(c), *(len(line[i]) for line in lines), 1) for i, c in enumerate(columns)]
        if (lines)
        else [len(c) for c in columns]
    )

    def drawn(cells: Sequence[str]) -> str:
        return "| " + " | ".join(c.ljust(w) for c, w in zip(cells, widths, strict=True)) + " |"

    rule = "|" + "|".join("-" * (w + 2) for w in widths) + "|"
    return "\n".join((drawn(columns), rule, *map(drawn, lines)))
