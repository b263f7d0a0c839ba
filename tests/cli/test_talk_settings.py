"""How much is said: kept for each builder from one job to the next."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.cli.talk_settings import TalkKeeper, kept_talk
from assistant.dialogue.facts import ListeningPaused, TalkChanged
from assistant.folders import CONFIG_VARIABLE


@pytest.fixture(autouse=True)
def config(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(CONFIG_VARIABLE, str(tmp_path))
    return tmp_path


def test_the_choice_of_one_builder_is_found_by_name_and_nobody_elses() -> None:
    assert kept_talk("Otto Brandwick") == "usual"
    keeper = TalkKeeper("Otto Brandwick")
    keeper.recorded(ListeningPaused(paused=True))
    keeper.recorded(TalkChanged(talk="brief"))
    assert kept_talk("otto  brandwick") == "brief"
    assert kept_talk("Marta Quill") == "usual"
    keeper.recorded(TalkChanged(talk="new"))
    assert kept_talk("Otto Brandwick") == "new"


@pytest.mark.parametrize("content", [b"loud", b"\xff", b"x" * 100, b""])
def test_a_damaged_setting_is_the_usual_one(config: Path, content: bytes) -> None:
    TalkKeeper("OB").recorded(TalkChanged(talk="brief"))
    (file,) = (config / "talk").iterdir()
    file.write_bytes(content)
    assert kept_talk("OB") == "usual"


def test_a_choice_that_cannot_be_kept_is_told_and_stops_nothing(
    config: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (config / "talk").write_text("in the way")
    TalkKeeper("OB").recorded(TalkChanged(talk="brief"))
    assert "not kept for the next job" in capsys.readouterr().out
