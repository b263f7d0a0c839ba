"""What the check asks for and says: ``fitting.yaml`` of the language."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from assistant.evaluation.corpora import Task
from assistant.evaluation.states import STATES
from assistant.fitting.errors import FittingError
from assistant.language import Language
from assistant.language.spec import Command
from assistant.resources import data_folder
from assistant.yaml_data import yaml_data
from assistant.yaml_events import YamlError

PhraseKind = Literal["command", "number", "other"]


@dataclass(frozen=True)
class Asked:
    """A phrase to be read aloud, and what it is listened for in.

    ``command`` is the id of the command that the phrase stands for, empty for anything else.
    """

    text: str
    task: Task
    kind: PhraseKind
    command: str = ""


@dataclass(frozen=True)
class CheckWords:
    """The phrases in the order in which they are asked for, and the sentences by key."""

    asked: tuple[Asked, ...]
    sentences: Mapping[str, str]

    def __call__(self, key: str, **params: object) -> str:
        """The sentence called ``key`` with its places filled; KeyError when there is none."""
        return self.sentences[key].format(**params)


def load_words(language: Language, tag: str, folder: Path | None = None) -> CheckWords:
    """Read ``grammars/<tag>/fitting.yaml``.

    Raises:
        FittingError: the language has none, or it is faulty; says where.
    """
    path = (folder or data_folder("grammars") / tag) / "fitting.yaml"
    try:
        data = yaml_data(path.read_text("utf-8"))
    except FileNotFoundError:
        raise FittingError(
            f"There is no voice check for the language {tag} yet; its phrases belong in {path}."
        ) from None
    except YamlError as fault:
        raise FittingError(f"{path}:{fault.line or 1}: {fault.problem}; fix the YAML.") from None
    asked = tuple(
        phrase
        for number, entry in enumerate(data.pop("asked"), 1)
        for phrase in _phrases(path, number, entry, language)
    )
    return CheckWords(asked, {key: " ".join(str(text).split()) for key, text in data.items()})


def _phrases(
    path: Path, number: int, entry: Mapping[str, str], language: Language
) -> tuple[Asked, ...]:
    state, command, text = entry.get("state", ""), entry.get("command", ""), entry.get("number", "")
    if state not in STATES:
        raise FittingError(f"{path}: Entry {number} has no state of {', '.join(STATES)}; fix it.")
    task = Task(state, STATES[state])
    said = language.phrases_for(command) if command else (text,)
    for phrase in said:
        meanings = language.interpret(STATES[state], phrase)
        if len(meanings) != 1 or (command and meanings != (Command(command),)):
            raise FittingError(
                f"{path}: Entry {number}, '{phrase}', cannot be said in the state '{state}'; "
                "choose another state or phrase."
            )
    kind: PhraseKind = "command" if command else "number"
    return tuple(Asked(phrase, task, kind, command) for phrase in said)
