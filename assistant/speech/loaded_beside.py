"""A second listener whose model is read in a thread of its own while the session begins.

Reading the model takes longer than all else before the first word is heard, and nothing asks the
second listener before the builder has said something.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor

from assistant.language.hypothesis import Recognition, Weighed
from assistant.speech.two_listeners import SecondListener
from assistant.speech.types import Utterance


class LoadedBeside:
    """``load`` gives the listener, called ``name``; it is begun at once.

    Whatever needs the listener waits for it. What ``load`` raises is raised when the next grammar
    is taken up, or when the first utterance is to be heard, whichever comes first.
    """

    def __init__(self, name: str, load: Callable[[], SecondListener]) -> None:
        self.name = name
        worker = ThreadPoolExecutor(1, thread_name_prefix="second-listener-loading")
        self._loading = worker.submit(load)
        worker.shutdown(wait=False)
        self._grammar: tuple[str, tuple[str, ...]] | None = None

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar, or keep it until the model has been read."""
        self._grammar = jsgf, words
        if self._loading.done():
            self._ready()

    def recognise(self, utterance: Utterance) -> Recognition:
        """What the listener makes of ``utterance``."""
        return self._ready().recognise(utterance)

    def weigh(self, utterance: Utterance, texts: Sequence[str]) -> list[float]:
        """How likely each text is to the listener, in nats."""
        return self._ready().weigh(utterance, texts)

    def numbers_beside(self, text: str) -> list[Weighed]:
        """Other numbers that the listener held for likely."""
        return self._ready().numbers_beside(text)

    def _ready(self) -> SecondListener:
        listener = self._loading.result()
        grammar, self._grammar = self._grammar, None  # a look ahead may ask at the same time
        if grammar is not None:
            listener.listen_for(*grammar)
        return listener
