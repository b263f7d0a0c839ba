"""Names on the command line as people at the bench."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from assistant.cli.terminal import LONGEST_NAME, is_line, one_line, tell
from assistant.dialogue.events import Person


class PeopleError(ValueError):
    """Names that the voice could not tell apart; the message is one sentence."""


def must_be_line(name: str) -> None:
    """Raises:
    PeopleError: ``name`` is not one line of text that can be shown.
    """
    if not is_line(name):
        raise PeopleError(
            f"'{one_line(name[:40])}' is not a name: it must be one line of at most {LONGEST_NAME} "
            "characters, without control codes."
        )


def job_name(asked: str, otherwise: str) -> str:
    """The job's name: the one ``asked`` for, else typed at a terminal, else ``otherwise``.

    Raises:
        PeopleError: it is not one line of text that can be shown.
    """
    if not asked and sys.stdin.isatty():
        try:
            asked = input("Job, or the machine's serial number (Enter to leave it out): ").strip()
        except EOFError:
            tell()
    must_be_line(asked)
    return asked or otherwise


def initials(name: str) -> str:
    """The first letters of first and last name, upper case: ``Marta Quill`` gives ``MQ``.

    Raises:
        PeopleError: the name has no two words that begin with an ordinary letter.
    """
    parts = [p for p in name.replace("-", " ").split() if p[0].isascii() and p[0].isalpha()]
    if len(parts) < 2:
        raise PeopleError(f"'{name}' needs a first and a last name in plain letters.")
    return (parts[0][0] + parts[-1][0]).upper()


def people(builder: str, inspectors: Sequence[str]) -> tuple[Person, ...]:
    """Builder and inspectors, each known to the voice by distinct initials.

    Raises:
        PeopleError: two people share their initials, or an inspector is the builder.
    """
    for name in (builder, *inspectors):
        must_be_line(name)
    found = [Person(name=builder, initials=initials(builder), role="builder")]
    for name in inspectors:
        person = Person(name=name, initials=initials(name), role="inspector")
        for other in found:
            if other.initials == person.initials:
                raise PeopleError(
                    f"'{other.name}' and '{name}' have the same initials; add a middle name "
                    "in place of the last name to tell them apart by voice."
                )
        found.append(person)
    return tuple(found)
