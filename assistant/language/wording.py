"""A language's own sentences: the phrases of its commands, its prompts, and problems in words."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from assistant.language.plurals import plural
from assistant.language.sources import Sources
from assistant.language.tree import GrammarError
from assistant.quantities.problem import Problem, Told
from assistant.quantities.symbols import with_symbols


class Wording:
    """The sentences of ``sources``, with their places filled."""

    def __init__(self, sources: Sources) -> None:
        self._sources = sources

    def phrases_for(self, command: str) -> tuple[str, ...]:
        """All phrases for a command, the taught one first.

        Raises:
            GrammarError: there is no such command.
        """
        try:
            return self._sources.commands[command].phrases
        except KeyError:
            raise GrammarError(
                f"There is no command '{command}' in commands.yaml; add it there."
            ) from None

    def phrase_for(self, command: str, place: str = "") -> str:
        """The phrase that is taught for a command, or the one that names it at ``place``."""
        first = self.phrases_for(command)[0]
        return self._sources.commands[command].named.get(place, first)

    def command_help(self, command: str) -> str:
        """What a command does, in a short sentence."""
        self.phrases_for(command)
        return self._sources.commands[command].help

    def prompt(self, key: str, **params: object) -> str:
        """The prompt called ``key`` with its places filled; empty places leave no double space.

        ``{c_go_on}`` in a prompt stands for the taught phrase of command ``go_on``,
        ``{c_done_fastener}`` for the one that names ``done`` at a fastener. A problem is put in
        the language's words. A prompt that has forms is said in the one for its ``count``.

        Raises:
            KeyError: there is no such prompt, or a place is not filled.
        """
        template = plural(self._sources.prompts, key, self._sources.name, params)
        told = {n: self.told(p) for n, p in params.items() if isinstance(p, Problem)}
        text = " ".join(template.format(**{**self._taught, **params, **told}).split())
        lead = " " if template[:1].isspace() else ""
        return lead + text + (" " if template[-1:].isspace() else "")

    def told(self, problem: Told) -> str:
        """A problem in words; a sentence stays as it is.

        Raises:
            KeyError: the language has no words for it.
        """
        if isinstance(problem, str):
            return problem
        places = {name: self.told(value) for name, value in problem.parameters.items()}
        return with_symbols(self._sources.problems[problem.code].format(**places))

    @cached_property
    def _taught(self) -> Mapping[str, str]:
        taught = {f"c_{command}": self.phrase_for(command) for command in self._sources.commands}
        for command, words in self._sources.commands.items():
            taught |= {f"c_{command}_{place}": phrase for place, phrase in words.named.items()}
        return taught
