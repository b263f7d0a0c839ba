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
    parts = _plain_parts(name)
    if len(parts) < 2:
        raise PeopleError(
            f"'{name}' is no full name; give a first and a last name in plain letters."
        )
    return (parts[0][0] + parts[-1][0]).upper()


def _plain_parts(name: str) -> list[str]:
    return [p for p in name.replace("-", " ").split() if p[0].isascii() and p[0].isalpha()]


def people(builder: str, inspectors: Sequence[str]) -> tuple[Person, ...]:
    """Builder and inspectors, each known to the voice by initials that no other has.

    Where two share theirs, each gets one letter more: Otto Brandwick and Olga Berg are OBR and OBE.

    Raises:
        PeopleError: two of them sound the same by their initials, or may be the same person.
    """
    names = (builder, *inspectors)
    for name in names:
        must_be_line(name)
    for at, name in enumerate(names):
        for other in names[:at]:
            if _ends(name) == _ends(other):
                raise PeopleError(
                    f"'{other}' and '{name}' may be the same person; the one who accepts must be "
                    "another than the builder, so name each once, with another first or last name."
                )
    found = {name: initials(name) for name in names}
    shared = {short for short in found.values() if list(found.values()).count(short) > 1}
    longer = {n: _longer(n) if short in shared else short for n, short in found.items()}
    for name, short in longer.items():
        same = [n for n in names if n != name and longer[n] == short]
        if same:
            raise PeopleError(
                f"'{same[0]}' and '{name}' have the same initials; add a middle name "
                "in place of the last name to tell them apart by voice."
            )
    return tuple(
        Person(name=name, initials=longer[name], role="builder" if at == 0 else "inspector")
        for at, name in enumerate(names)
    )


def _ends(name: str) -> tuple[str, str]:
    """First and last name, whatever stands between them."""
    parts = name.casefold().replace("-", " ").split()
    return (parts[0], parts[-1]) if parts else ("", "")


def _longer(name: str) -> str:
    """The initials with the second letter of the last name, where that is an ordinary one."""
    second = _plain_parts(name)[-1][1:2]
    return initials(name) + (second.upper() if second.isascii() and second.isalpha() else "")
