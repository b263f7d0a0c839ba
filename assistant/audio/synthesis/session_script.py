"""Session scripts: plain text, one utterance a line, in the order in which they are said.

Lines that start with ``@`` are directions that hold from there on (``@pause`` and ``@breath``
happen once); ``#`` starts a comment::

    @speaker slt            who speaks
    @tempo 0.9              how fast, 1 is the voice's own
    @gap 1.2                seconds of silence between utterances
    @noise bench 30         background noise, decibels below the speech; "@noise none" ends it
    @breath                 a breath before the next utterance
    @pause 3                seconds of silence more
    @sound ratchet 2        two seconds of that noise, as loud as speech
    reading one point five thou
    [rms] step accepted     this one line by another speaker
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from assistant.audio.synthesis.noises import NOISES
from assistant.audio.synthesis.speakers import SPEAKERS
from assistant.speech.errors import SpeechError

DEFAULT_GAP_S = 1.0


@dataclass(frozen=True)
class ScriptLine:
    """One utterance with what surrounds it.

    ``gap_s``: silence before it; ``breath``: a breath is heard before it; ``noise`` with
    ``snr_db`` runs under it and its gap; ``sounds``: noises with seconds, heard before it.
    """

    text: str
    speaker: str
    tempo: float = 1.0
    gap_s: float = DEFAULT_GAP_S
    breath: bool = False
    noise: str | None = None
    snr_db: float = 30.0
    sounds: tuple[tuple[str, float], ...] = ()


def parse_script(lines: Iterable[str], speaker: str = "slt") -> list[ScriptLine]:
    """Read a script; ``speaker`` is who speaks until the script says otherwise.

    Raises:
        SpeechError: a line cannot be understood; the message names it.
    """
    reader = _ScriptReader(speaker)
    for number, line in enumerate(lines, 1):
        text = line.split("#")[0].strip()
        try:
            reader.take(text)
        except (ValueError, KeyError) as error:
            raise SpeechError(f"Line {number} of the session script: {error}.") from error
    return reader.found


class _ScriptReader:
    def __init__(self, speaker: str) -> None:
        self.found: list[ScriptLine] = []
        self._speaker = _known(speaker, SPEAKERS, "speaker")
        self._tempo = 1.0
        self._gap_s = DEFAULT_GAP_S
        self._noise: str | None = None
        self._snr_db = 30.0
        self._once()

    def take(self, text: str) -> None:
        if text.startswith("@"):
            name, *values = text[1:].split()
            self._direct(name, values)
        elif text:
            self._speak(text)

    def _once(self) -> None:
        self._pause_s = 0.0
        self._breath = False
        self._sounds: list[tuple[str, float]] = []

    def _direct(self, name: str, values: list[str]) -> None:
        match name, values:
            case "speaker", [who]:
                self._speaker = _known(who, SPEAKERS, "speaker")
            case "tempo", [tempo]:
                self._tempo = _number(tempo, 0.5, 2.0)
            case "gap", [seconds]:
                self._gap_s = _number(seconds, 0.0, 60.0)
            case "pause", [seconds]:
                self._pause_s += _number(seconds, 0.0, 60.0)
            case "breath", []:
                self._breath = True
            case "noise", ["none"]:
                self._noise = None
            case "noise", [noise, decibels]:
                self._noise = _known(noise, NOISES, "noise")
                self._snr_db = _number(decibels, -20.0, 80.0)
            case "sound", [noise, seconds]:
                self._sounds.append((_known(noise, NOISES, "noise"), _number(seconds, 0.0, 60.0)))
            case _:
                raise ValueError(f"'@{' '.join([name, *values])}' is not a direction")

    def _speak(self, text: str) -> None:
        named = re.fullmatch(r"\[(?P<who>\w+)\]\s*(?P<text>.+)", text)
        self.found.append(
            ScriptLine(
                named["text"] if named else text,
                _known(named["who"], SPEAKERS, "speaker") if named else self._speaker,
                self._tempo,
                self._gap_s + self._pause_s,
                self._breath,
                self._noise,
                self._snr_db,
                tuple(self._sounds),
            )
        )
        self._once()


def _known(name: str, table: Iterable[str], what: str) -> str:
    names = list(table)
    if name not in names:
        raise ValueError(f"there is no {what} '{name}', only {', '.join(names)}")
    return name


def _number(text: str, low: float, high: float) -> float:
    try:
        value = float(text)
    except ValueError:
        raise ValueError(f"'{text}' is not a number") from None
    if not low <= value <= high:
        raise ValueError(f"{text} is not between {low:g} and {high:g}")
    return value
