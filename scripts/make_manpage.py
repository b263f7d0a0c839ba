"""Writes the manual page docs/assembly-assistant.1 from the commands themselves.

Usage: ``python -m scripts.make_manpage``. A test compares the file with what this gives, so that
the page cannot go stale. See man(7) for the macros.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import typer.main

from assistant.cli.main import app

PAGE = Path(__file__).resolve().parent.parent / "docs" / "assembly-assistant.1"
NAME = "assembly-assistant"

_CLOSING = (
    ("OPTIONS", (
        ("--version", "Print the version and exit."),
        ("--help", "Show help and exit; works with every command."),
        ("--install-completion", "Install completion of commands and options in your shell."),
        ("--show-completion", "Show what that would add to your shell settings."),
    )),
    ("EXIT STATUS", (
        ("0", "All went well."),
        ("1", "A session could not be opened, a check found a fault, or a record does not verify."),
        ("2", "Something is not available; one sentence on standard error says what to do."),
        ("130", "Ctrl-C; everything heard so far is recorded, and resume continues."),
    )),
    ("ENVIRONMENT", (
        ("ASSEMBLY_ASSISTANT_DATA", "The folder of records, sounds, models and your own "
         "procedures."),
        ("ASSEMBLY_ASSISTANT_VOSK_MODEL", "The folder of a Vosk model."),
        ("XDG_DATA_HOME, XDG_CACHE_HOME", "Where the user's data and caches are, as the XDG Base "
         "Directory Specification has it."),
    )),
    ("FILES", (
        ("~/.local/share/assembly-assistant", "Records, sounds, models and your own procedures."),
        ("~/.cache/assembly-assistant", "Spoken lines; may be deleted at any time."),
    )),
)  # fmt: skip
_NOTICE = (
    "The work can hurt people. The maker's current manual, local codes and licensed practice "
    "govern; the assistant reads, listens and records, and replaces none of them."
)


def manpage() -> str:
    """The page as roff text."""
    root = typer.main.get_command(app)
    about = " ".join((root.help or "").split())
    lines = [
        f'.TH {NAME.upper()} 1 "" "{NAME}" "User Commands"',
        ".SH NAME",
        rf"{_text(NAME)} \- hands\-free assembly of precision machinery by voice",
        ".SH SYNOPSIS",
        rf".B {_text(NAME)}",
        r".I COMMAND",
        r"[\fIOPTIONS\fR] [\fIARGUMENTS\fR]",
        ".SH DESCRIPTION",
        _text(about),
        ".SH COMMANDS",
        *_commands(root, ""),
    ]
    for heading, entries in _CLOSING:
        lines.append(f".SH {heading}")
        for tag, told in entries:
            lines += [".TP", f".B {_text(tag)}", _text(told)]
    lines += [".SH NOTICE", _text(_NOTICE)]
    return "\n".join(lines) + "\n"


def _commands(group: Any, before: str) -> Iterator[str]:
    """A subsection for each command of a group, and those of its groups after it."""
    for name, command in sorted(getattr(group, "commands", {}).items()):
        if getattr(command, "commands", None):
            yield from _commands(command, f"{before}{name} ")
        elif not command.hidden:
            yield from _command(f"{before}{name}", command)


def _command(name: str, command: Any) -> Iterator[str]:
    # By name, not by class: Typer brings its own copy of click in some versions.
    arguments = [p for p in command.params if type(p).__name__ == "TyperArgument"]
    options = [p for p in command.params if type(p).__name__ == "TyperOption"]
    shown = "".join(f" {_argument(p)}" for p in arguments)
    yield f".SS {_text(name)}{shown}"
    yield _text(" ".join((command.help or "").split()))
    for parameter in arguments:
        if getattr(parameter, "help", None):
            yield from (".TP", rf"\fI{_text(_label(parameter))}\fR", _text(parameter.help))
    for option in options:
        yield from (".TP", _option(option), _text(_help(option)))


def _argument(parameter: Any) -> str:
    label = rf"\fI{_text(_label(parameter))}\fR"
    return label if parameter.required else f"[{label}]"


def _label(parameter: Any) -> str:
    return str(parameter.metavar or parameter.name).upper()


def _option(option: Any) -> str:
    spelled = [*option.opts, *option.secondary_opts]
    names = ", ".join(rf"\fB{_text(n)}\fR" for n in spelled)
    if option.is_flag:
        return names
    return rf"{names} \fI{_text(_value(option))}\fR"


def _value(option: Any) -> str:
    return str(option.metavar or option.opts[0].lstrip("-")).upper()


def _help(option: Any) -> str:
    told = str(getattr(option, "help", None) or "")
    default = getattr(option.default, "value", option.default)
    if option.required:
        told += " Required."
    elif isinstance(default, str | int | float) and not isinstance(default, bool) and default != "":
        told += f" By default {default}."
    if option.multiple:
        told += " May be given more than once."
    return " ".join(told.split())


def _text(text: str) -> str:
    """Text that no macro or escape is read out of."""
    safe = text.replace("\\", r"\e").replace("-", r"\-")
    return rf"\&{safe}" if safe[:1] in (".", "'") else safe


def main() -> None:
    """Write the page."""
    PAGE.write_text(manpage(), encoding="utf-8")
    print(f"Written: {PAGE}")


if __name__ == "__main__":
    main()
