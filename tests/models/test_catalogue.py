"""The catalogue's entries are complete, and the command shows them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.models.catalogue import catalogue, known
from assistant.models.command import app
from assistant.models.errors import ModelError
from assistant.models.places import best_installed


def test_every_file_of_a_model_is_pinned_and_the_mirror_gives_all_of_them() -> None:
    assert {"whisper-base", "vosk-model-small-en-us-0.15"} <= set(catalogue())
    for model in catalogue().values():
        pinned = [f.sha256 for f in model.files.values()]
        pinned += [model.archive.sha256] if model.archive else []
        pinned += [p.wheel.sha256 for p in model.mirror]
        assert pinned
        assert all(re.fullmatch("[0-9a-f]{64}", digest) for digest in pinned)
        assert model.licence in ("MIT", "Apache-2.0", "CC0-1.0")
        assert model.size > 1_000_000
        given = {target for p in model.mirror for _, target in p.members}
        assert given in (set(), set(model.files))


def test_an_unknown_model_is_refused_with_the_known_names() -> None:
    with pytest.raises(ModelError, match=r"no model 'kettle'; choose one of: whisper-base"):
        known("kettle")


def test_the_best_installed_model_is_the_first_of_the_catalogue(tmp_path: Path) -> None:
    assert best_installed("whisper", tmp_path) is None
    for name in ("whisper-tiny-en", "whisper-base"):
        (tmp_path / name).mkdir()
        for file in known(name).files:
            (tmp_path / name / file).touch()
        assert best_installed("whisper", tmp_path) == tmp_path / name


def test_the_commands_list_and_refuse_in_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path))
    listed = CliRunner().invoke(app, ["list"])
    assert listed.exit_code == 0
    assert listed.output.count("not installed") == len(catalogue())
    refused = CliRunner().invoke(app, ["bring", "whisper-base", str(tmp_path)])
    assert refused.exit_code == 2
    assert "holds no model.bin" in refused.output
