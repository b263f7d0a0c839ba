"""A decode that ends before any phrase does leaves an empty path among the alternatives."""

from __future__ import annotations

import pytest

from assistant.audio.synthesis.speakers import say
from assistant.evaluation.conditions import CLEAN, heard
from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.resources import data_folder
from assistant.speech.endpoint import Endpointer
from assistant.speech.pocketsphinx_engine import PocketSphinxEngine


@pytest.mark.audio
def test_it_goes_on_listening() -> None:
    language = Language.load("en-US")
    engine = PocketSphinxEngine(data_folder("grammars") / "en-US" / "lexicon.dict")
    spec = STATES["review"]
    engine.listen_for(language.jsgf(spec), language.words(spec))
    endpointer = Endpointer()
    sound = heard(say("go on", "espeak_gb", 1.2), CLEAN, "trade-4", 2)
    for utterance in (*endpointer.feed(sound), *endpointer.finish()):
        assert all(h.text for h in engine.recognise(utterance).hypotheses)
