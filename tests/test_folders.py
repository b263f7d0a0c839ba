"""All of the user's folders are asked for in one place, and follow the same variables."""

from __future__ import annotations

from pathlib import Path

import pytest
from platformdirs.macos import MacOS
from platformdirs.unix import Unix

from assistant import folders
from assistant.audio.synthesis import speakers
from assistant.fitting.profile_folder import profiles_folder
from assistant.folders import user_cache, user_config, user_data
from assistant.journal.location import default_location
from assistant.models.places import models_folder
from assistant.procedure.loader import user_folder
from assistant.speech.vosk_models import model_places
from assistant.voice import spoken_cache

VARIABLES = (
    "ASSEMBLY_ASSISTANT_DATA", "ASSEMBLY_ASSISTANT_CONFIG", "XDG_DATA_HOME", "XDG_CONFIG_HOME",
    "XDG_CACHE_HOME",
)  # fmt: skip


@pytest.fixture(autouse=True)
def _linux(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in VARIABLES:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(folders, "_SYSTEM", Unix("assembly-assistant", appauthor=False))


def test_the_own_variable_holds_for_all_data(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", "/x")
    assert default_location() == tmp_path / "records.db"
    assert models_folder() == tmp_path / "models"
    assert model_places()[0] == models_folder()  # installed where they are looked for
    assert user_folder() == tmp_path / "procedures"
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_CONFIG", "~/kb2")
    assert profiles_folder() == Path.home() / "kb2" / "voices"


def test_the_xdg_variables(monkeypatch: pytest.MonkeyPatch) -> None:
    for kind in ("DATA", "CONFIG", "CACHE"):
        monkeypatch.setenv(f"XDG_{kind}_HOME", f"/{kind.lower()}")
    assert default_location() == Path("/data/assembly-assistant/records.db")
    assert models_folder() == model_places()[0] == Path("/data/assembly-assistant/models")
    assert user_folder() == Path("/data/assembly-assistant/procedures")
    assert profiles_folder() == Path("/config/assembly-assistant/voices")
    assert spoken_cache.cache_folder() == Path("/cache/assembly-assistant/voice")
    assert speakers.cache_folder() == Path("/cache/assembly-assistant/speech")


@pytest.mark.parametrize("value", [None, "", "relative/share"])
def test_without_them_or_with_relative_ones_the_usual_places(
    value: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """XDG Base Directory Specification 0.8: "All paths set in these environment variables must be
    absolute. If an implementation encounters a relative path [...] it should [...] ignore it." """
    for name in VARIABLES[2:]:
        if value is not None:
            monkeypatch.setenv(name, value)
    home = Path.home()
    assert user_data() == home / ".local/share/assembly-assistant"
    assert user_config() == home / ".config/assembly-assistant"
    assert user_cache() == home / ".cache/assembly-assistant"


def test_another_system_has_its_own_places(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folders, "_SYSTEM", MacOS("assembly-assistant", appauthor=False))
    assert user_data() == Path.home() / "Library/Application Support/assembly-assistant"
    assert user_cache() == Path.home() / "Library/Caches/assembly-assistant"
    assert user_config() == user_data()


def test_nothing_else_asks_where_home_is() -> None:
    package = Path(folders.__file__).parent
    asking = {
        str(path.relative_to(package))
        for path in package.rglob("*.py")
        if path != Path(folders.__file__)
        and any(
            word in path.read_text("utf-8") for word in ("XDG_", "Path.home(", '".local', "/.local")
        )
    }
    # the Vosk library keeps models of its own below the user's home
    assert asking == {"speech/vosk_models.py"}
