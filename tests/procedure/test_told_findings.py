"""Every finding on every slip, whole: level, step, place in the file and sentence.

The tests beside this one say what a slip must be told as; this one keeps all that is told, so that
a sentence or a place that changes is seen. ``python -m tests.procedure.test_told_findings`` writes
the file again; read what changed before it is kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

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


def test_what_is_found_is_told_as_it_was_before() -> None:
    assert list(told()) == GOLDEN.read_text(encoding="utf-8").splitlines()


def test_every_message_is_one_sentence_without_a_programmers_words() -> None:
    """Short enough to read, and it ends like a sentence."""
    lines = [line for line in GOLDEN.read_text(encoding="utf-8").splitlines() if line[0] != "#"]
    assert len(lines) > 150
    for line in lines:
        message = line.partition(": ")[2]
        assert message[-1] in ".?"
        assert len(message) < 240
        assert "None" not in message
        assert "Fraction" not in message


def test_every_slip_is_told() -> None:
    text = GOLDEN.read_text(encoding="utf-8")
    for section in text.split("# ")[1:]:
        assert "\n" in section.strip(), f"nothing is found in '{section.strip()}'"


if __name__ == "__main__":
    GOLDEN.write_text("\n".join(told()) + "\n", encoding="utf-8")
