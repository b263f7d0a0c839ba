"""The profile on the disk: whole or not at all, and one sentence for anything else."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.fitting.errors import FittingError
from assistant.fitting.profile import (
    CheckedPhrase,
    ChosenThresholds,
    MeasuredLevels,
    Profile,
    load,
    save,
)
from assistant.fitting.profile_folder import profile_path, same_builder

SCHEMA = Path("docs") / "voice-profile.schema.json"
SHARED = settings(suppress_health_check=[HealthCheck.function_scoped_fixture])


def profile(builder: str = "Marta Quill", **changed: Any) -> Profile:
    made: dict[str, Any] = {
        "builder": builder,
        "made_at": datetime(2026, 3, 4, 10, 30, tzinfo=UTC),
        "language": "en-US",
        "listener": "ear",
        "source": "bench microphone",
        "levels": MeasuredLevels(speech_dbov=-27.1, noise_dbov=-60, snr_db=32.9, clipped=0),
        "thresholds": ChosenThresholds(reject=0.45, sure=0.85),
        "phrases": (CheckedPhrase(asked="go on", heard="go on", confidence=0.9, right=True),),
        "advice": ("The level is good.",),
    }
    return Profile(**{**made, **changed})


@SHARED
@given(st.text(min_size=1, max_size=30).filter(str.strip))
def test_any_builder_gets_back_what_was_kept_and_nothing_lands_elsewhere(
    tmp_path: Path, name: str
) -> None:
    kept = save(profile(name), tmp_path)
    assert kept.parent == tmp_path
    assert load(name, tmp_path) == profile(name)


def test_letter_case_and_spaces_do_not_make_another_builder(tmp_path: Path) -> None:
    save(profile("Marta Quill"), tmp_path)
    assert load("marta  QUILL", tmp_path) == profile("Marta Quill")
    assert load("Otto Brandwick", tmp_path) is None


@given(st.text(max_size=12), st.text(max_size=12))
def test_two_builders_never_share_a_file(one: str, other: str) -> None:
    shared = profile_path(one, Path("voices")) == profile_path(other, Path("voices"))
    assert shared == same_builder(one, other)


def test_a_profile_of_another_version_is_one_sentence_with_the_remedy(tmp_path: Path) -> None:
    path = save(profile(), tmp_path)
    data = json.loads(path.read_text("utf-8"))
    path.write_text(json.dumps({**data, "version": 7}), "utf-8")
    with pytest.raises(FittingError, match=r"version 7.*fit --builder 'Marta Quill'"):
        load("Marta Quill", tmp_path)


def test_thresholds_that_the_check_would_never_choose_are_refused(tmp_path: Path) -> None:
    path = save(profile(), tmp_path)
    data = json.loads(path.read_text("utf-8"))
    for changed in ({"reject": 0.1, "sure": 0.85}, {"reject": 0.45, "sure": 0.2}):
        path.write_text(json.dumps({**data, "thresholds": changed}), "utf-8")
        with pytest.raises(FittingError, match="thresholds"):
            load("Marta Quill", tmp_path)


@SHARED
@given(st.binary(max_size=200))
def test_any_other_bytes_are_one_sentence(tmp_path: Path, data: bytes) -> None:
    profile_path("Marta Quill", tmp_path).write_bytes(data)
    with pytest.raises(FittingError) as fault:
        load("Marta Quill", tmp_path)
    assert "\n" not in str(fault.value)
    assert "fit --builder" in str(fault.value)


@SHARED
@given(st.integers(0, 900))
def test_a_file_cut_short_is_one_sentence(tmp_path: Path, length: int) -> None:
    path = save(profile(), tmp_path)
    whole = path.read_bytes()
    if length < len(whole) - 1:
        path.write_bytes(whole[:length])
        with pytest.raises(FittingError):
            load("Marta Quill", tmp_path)


def test_writing_that_fails_leaves_the_old_profile_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = save(profile(), tmp_path)

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(FittingError, match="No space left"):
        save(profile(advice=()), tmp_path)
    assert list(tmp_path.iterdir()) == [old]
    assert load("Marta Quill", tmp_path) == profile()


def test_the_documented_schema_is_the_models_and_holds_for_what_is_written(tmp_path: Path) -> None:
    documented = json.loads(SCHEMA.read_text("utf-8"))
    assert documented == Profile.model_json_schema()
    written = json.loads(save(profile(), tmp_path).read_text("utf-8"))
    jsonschema.Draft202012Validator(documented).validate(written)


def test_a_file_where_the_folder_should_be_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "in the way").write_text("x")
    with pytest.raises(FittingError, match=r"cannot be written to .*choose another"):
        save(profile(), tmp_path / "in the way" / "voices")
