"""News of the equipment as one stream: the store, the microphone and the voice."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal, Protocol

from assistant.language import Language
from assistant.quantities.problem import Told

_LOOK_EVERY_S = 1.0  # how often a microphone is asked whether it still listens


class StoreNews(Protocol):
    """That a store was lost or came back; ``told`` is for the builder."""

    @property
    def reachable(self) -> bool:
        """Whether it can be reached."""

    @property
    def told(self) -> Told:
        """What to say."""


class MicrophoneReport(Protocol):
    """What happened to the microphone called ``name``.

    It was lost, came back, dropped sound (``overrun``), cuts loud sound off (``clipped``), or is
    another one than before (``moved``).
    """

    @property
    def what(self) -> Literal["lost", "back", "overrun", "clipped", "moved"]:
        """What it was."""

    @property
    def name(self) -> str:
        """The microphone's name."""


class VoiceReport(Protocol):
    """That the voice failed, with a sentence that says why, or works again."""

    @property
    def working(self) -> bool:
        """Whether it works."""

    @property
    def why(self) -> str:
        """Why it does not."""


@dataclass(frozen=True)
class EquipmentNews:
    """Something that happened to a part of the equipment; ``detail`` is said to the builder."""

    part: Literal["store", "microphone", "voice"]
    working: bool
    detail: str
    what: str = ""  # of a microphone: what happened


class NewsStream:
    """Takes news from whoever has any. Each source gives its oldest news, or None."""

    def __init__(self) -> None:
        self._store: Callable[[], StoreNews | None] | None = None
        self._microphone: Callable[[], MicrophoneReport | None] | None = None
        self._voice: Callable[[], VoiceReport | None] | None = None

    def of_store(self, source: Callable[[], StoreNews | None]) -> None:
        """Ask ``source`` about the store."""
        self._store = source

    def of_microphone(self, source: Callable[[], MicrophoneReport | None]) -> None:
        """Ask ``source`` about the microphone, about once a second."""
        self._microphone = source

    def of_voice(self, source: Callable[[], VoiceReport | None]) -> None:
        """Ask ``source`` about the voice."""
        self._voice = source

    @property
    def look_every_s(self) -> float | None:
        """How long a wait for speech may last before news are looked for; None: any time."""
        return None if self._microphone is None else _LOOK_EVERY_S

    def pending(self, language: Language) -> Iterator[EquipmentNews]:
        """What there is to tell now, in the words of ``language``; asked for one by one."""
        if self._store is not None and (store := self._store()) is not None:
            yield EquipmentNews("store", store.reachable, language.told(store.told))
        while self._microphone is not None and (found := self._microphone()) is not None:
            words = language.prompt("microphone_" + found.what, name=found.name)
            yield EquipmentNews("microphone", found.what != "lost", words, found.what)
        # One at a time: a voice that fails at its own news must not keep anybody from listening.
        if self._voice is not None and (voice := self._voice()) is not None:
            words = language.prompt(
                "voice_back" if voice.working else "voice_failed", why=voice.why
            )
            yield EquipmentNews("voice", voice.working, words)
