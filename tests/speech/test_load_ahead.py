"""The recogniser's model is loaded while the procedure is checked, where it will be needed."""

from __future__ import annotations

import pytest

from assistant.speech import choice
from assistant.speech.ear import shipped


@pytest.mark.parametrize(
    ("language", "forced", "times"),
    [("en-US", None, 1), ("en-GB", "ear", 1), ("en-US", "vosk", 0), ("ko-KR", None, 0)],
)
def test_only_the_recogniser_that_will_listen_is_loaded(
    language: str, forced: str | None, times: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun: list[str] = []
    monkeypatch.setattr(shipped, "load_ahead", lambda: begun.append("ear"))
    choice.load_ahead(language, forced)
    assert len(begun) == times
