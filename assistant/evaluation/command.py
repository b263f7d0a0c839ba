"""The command that runs the hearing bench."""

from __future__ import annotations

import json
import platform
import sys
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from os import cpu_count
from pathlib import Path
from typing import Annotated

import jiwer  # noqa: F401 - what the tables need is missed before a long run
import scipy.stats  # noqa: F401
import typer

from assistant.evaluation import corpora as made
from assistant.evaluation.bench import Report, run
from assistant.evaluation.conditions import CONDITIONS
from assistant.evaluation.corpora import Corpus
from assistant.evaluation.hearing import found
from assistant.evaluation.long_run import RunPart, go_on, many_tables
from assistant.evaluation.long_run import kept as read_kept
from assistant.evaluation.measured import MeasuredListener
from assistant.evaluation.startup import startup_times
from assistant.evaluation.table import whole
from assistant.language import Language
from assistant.language.policy import Policy
from assistant.shared_options import ADVANCED, options_as_objects
from assistant.speech.errors import SpeechError

app = typer.Typer(pretty_exceptions_enable=False)

MADE = ("trade", "readings", "sampled", "debian", "unseen trade", "unseen readings", "teens")


_CORPUS = f"Of {', '.join(MADE)}; may repeat; else all."
_LEAD = "How far a value must lead all else: the natural logarithm of its odds."
_KEPT = "With --readings: file to continue; further ones are only counted."
_PART = "With --readings: do this part, such as 1/2."
_STARTUP = "Only the time from command to listening, tried so often."


@dataclass(frozen=True, kw_only=True)
class BenchOptions:
    """What to run: names, sizes, the seed and the trust thresholds."""

    listener: Annotated[list[str] | None, typer.Option(help="Only this one; may repeat.")] = None
    corpus: Annotated[list[str] | None, typer.Option(help=_CORPUS)] = None
    folder: Annotated[
        list[Path] | None, typer.Option(help="A folder of recordings with transcript.tsv.")
    ] = None
    talk: Annotated[
        list[Path] | None, typer.Option(help="A folder of recorded talk that is not a command.")
    ] = None
    condition: Annotated[
        list[str] | None, typer.Option(help="Such as 'clean' or 'hum 10 dB'; else all.")
    ] = None
    count: Annotated[int, typer.Option(help="Utterances of each made corpus.")] = 60
    minutes: Annotated[int, typer.Option(help="Minutes of sound that is not a command.")] = 12
    seed: Annotated[int, typer.Option(help="The same seed gives the same sounds.")] = 1
    reject: Annotated[
        float, typer.Option(help="Below this confidence, say again.", rich_help_panel=ADVANCED)
    ] = Policy.reject
    sure: Annotated[
        float, typer.Option(help="Below this, ask for digits.", rich_help_panel=ADVANCED)
    ] = Policy.sure
    lead: Annotated[float, typer.Option(help=_LEAD, rich_help_panel=ADVANCED)] = Policy.value_lead

    @property
    def corpora(self) -> tuple[str, ...]:
        """The names of the corpora; all, unless some or folders were asked for."""
        return tuple(self.corpus or (() if self.folder else MADE))

    @property
    def conditions(self) -> tuple[str, ...]:
        """The names of the conditions; all, unless some were asked for."""
        return tuple(self.condition or CONDITIONS)

    @property
    def trust(self) -> Policy:
        """The rule of trust with the thresholds asked for."""
        return Policy(reject=self.reject, sure=self.sure, value_lead=self.lead)


@dataclass(frozen=True, kw_only=True)
class OutputOptions:
    """Other runs than the tables, and where figures go."""

    as_json: Annotated[Path | None, typer.Option("--json", help="Write all figures here.")] = None
    many: Annotated[
        int,
        typer.Option(
            "--readings", help="Only readings, so many, kept one by one.", rich_help_panel=ADVANCED
        ),
    ] = 0
    kept: Annotated[list[Path] | None, typer.Option(help=_KEPT, rich_help_panel=ADVANCED)] = None
    startup: Annotated[int, typer.Option(help=_STARTUP, rich_help_panel=ADVANCED)] = 0
    part: Annotated[str, typer.Option(help=_PART, rich_help_panel=ADVANCED)] = "1/1"


@app.command()
@options_as_objects
def hearing(asked: BenchOptions, to: OutputOptions) -> None:
    """Measure how well numbers and commands are heard, and print tables."""
    known = tuple(found())
    names = tuple(asked.listener or known)
    _refuse_unknown(names, known, "listener")
    _refuse_unknown(asked.conditions, CONDITIONS, "condition")
    _refuse_unknown(asked.corpora, MADE, "corpus")
    if to.startup:
        each = ", ".join(f"{t:.2f}" for t in startup_times(to.startup))
        typer.echo(f"{each} s from the command to listening.")
        return
    if to.many:
        files = to.kept or [Path(f"readings-{asked.seed}.jsonl")]
        try:
            typer.echo(_many(names, asked, to.many, files, RunPart.read(to.part)))
        except SpeechError as fault:
            typer.echo(str(fault), err=True)
            raise typer.Exit(2) from None
        return
    reports = []
    for name in names:
        # Each in a process of its own, so that memory is its own and nothing is warm already.
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
            try:
                reports.append(pool.submit(measure, name, asked).result())
            except SpeechError as fault:
                typer.echo(str(fault), err=True)
                raise typer.Exit(2) from None
    typer.echo(f"{platform.machine()}, {cpu_count()} cores, Python {platform.python_version()}, ")
    typer.echo(f"seed {asked.seed}, reject below {asked.reject}, sure from {asked.sure}.\n")
    typer.echo(whole(reports))
    if to.as_json is not None:
        to.as_json.write_text(json.dumps(_plain(reports), indent=1), encoding="utf-8")


def measure(name: str, asked: BenchOptions) -> Report:
    """Run the listener called ``name``; the work of one process."""
    measured = _measured(name, asked)
    conditions = [CONDITIONS[c] for c in asked.conditions]
    corpora = gathered(asked, measured.language)
    return run(measured, corpora, conditions, asked.minutes, asked.talk or ())


def _measured(name: str, asked: BenchOptions) -> MeasuredListener:
    return MeasuredListener(
        name,
        found()[name],
        Language.load("en-US"),
        asked.trust,
        asked.seed,
        lambda text: print(text, file=sys.stderr, flush=True),
    )


def _many(
    names: tuple[str, ...], asked: BenchOptions, count: int, files: list[Path], part: RunPart
) -> str:
    """Continue a long run in the first of ``files``, and count what all of them hold."""
    conditions = [CONDITIONS[c] for c in asked.conditions]
    items = made.readings(
        Language.load("en-US"), count, asked.seed, (*made.VOICES, *made.UNSEEN)
    ).items
    for name in names:
        go_on(files[0], _measured(name, asked), items, conditions, part)
    judged = [j for file in files for j in read_kept(file) if j.listener in names]
    return many_tables(judged)


def gathered(asked: BenchOptions, language: Language) -> list[Corpus]:
    """The corpora that were asked for and are there."""
    makers: dict[str, Callable[[Language, int, int], Corpus]] = {
        "trade": made.trade,
        "readings": made.readings,
        "sampled": made.sampled,
        "unseen trade": partial(made.trade, voices=made.UNSEEN),
        "unseen readings": partial(made.readings, voices=made.UNSEEN),
        "teens": made.teens_and_tens,
    }
    corpora: list[Corpus] = []
    for name in asked.corpora:
        if name in makers:
            corpora.append(makers[name](language, asked.count, asked.seed))
        elif (recorded := made.debian()) is not None:
            corpora.append(recorded)
    return corpora + [made.folder_corpus(f, language) for f in asked.folder or ()]


def _refuse_unknown(names: tuple[str, ...], known: object, what: str) -> None:
    assert isinstance(known, tuple | dict)
    for name in names:
        if name not in known:
            choices = ", ".join(known)
            typer.echo(f"There is no {what} '{name}' here; choose of: {choices}.", err=True)
            raise typer.Exit(2)


def _plain(reports: list[Report]) -> list[object]:
    return [
        {
            "listener": r.listener,
            "load_s": r.load_s,
            "memory_mb": r.memory_mb,
            "rows": [row.as_json() for row in r.rows],
            "spurious": [
                {
                    "hours": s.hours,
                    "per_hour": s.per_hour,
                    "examples": s.examples,
                }
                for s in r.spurious
            ],
            "reliability": [
                {
                    "from": low,
                    "to": high,
                    "expected": expected,
                    "right": rate.hits,
                    "answers": rate.tries,
                }
                for low, high, expected, rate in r.reliability
            ],
            "operating": [
                {
                    "reject": p.reject,
                    "per_hour": p.per_hour,
                    "missed": p.missed.hits,
                    "commands": p.missed.tries,
                }
                for p in r.operating
            ],
        }
        for r in reports
    ]
