"""Every finding on every slip, whole: level, step, place and sentence; and every printed figure.

The tests say what each slip must be told as; the file keeps all that is told, so that a sentence
or a place that changes is seen. ``python -m tests.procedure.told`` writes the file again; read
what changed before it is kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from assistant.procedure.kinds import kind_of
from assistant.procedure.lint import lint
from assistant.procedure.models import Procedure
from tests.procedure import slips, test_lint, test_lint_fitting
from tests.procedure.kit import Data, sound_data

GOLDEN = Path(__file__).parent.parent / "golden" / "findings.txt"


def cases() -> Iterator[tuple[str, Data]]:
    """Each spoiled procedure under its name."""
    for table in (test_lint.ERRORS, test_lint.WARNINGS):
        for name, change, *_ in table:
            data = sound_data()
            change(data)
            yield name, data
    for table in (test_lint_fitting.ERRORS, test_lint_fitting.WARNINGS):
        for name, change, *_ in table:
            data = sound_data()
            test_lint_fitting.fitting(data)
            change(data)
            yield f"fitting: {name}", data
    yield from slips.cases()


def told() -> Iterator[str]:
    """The lines of the golden file."""
    for name, data in cases():
        yield f"# {name}"
        for f in lint(Procedure.model_validate(data)):
            yield f"{f.level} {f.step or '-'} {'/'.join(map(str, f.loc))}: {f.message}"
    for number, data in enumerate(slips.printed(), 1):
        yield f"# printed {number}"
        procedure = Procedure.model_validate(data)
        for step in procedure.steps:
            for line in kind_of(step).figures(procedure, step):
                yield f"figure {step.id}: {line}"


if __name__ == "__main__":
    GOLDEN.write_text("\n".join(told()) + "\n", encoding="utf-8")
