"""The wheel carries grammars, procedures and the recording, and runs without the checkout."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    (wheel,) = folder.glob("*.whl")
    place = folder / "site"
    zipfile.ZipFile(wheel).extractall(place)
    return place


def call(unpacked: Path, data: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "assistant", *arguments],
        cwd=data,
        env={**os.environ, "PYTHONPATH": str(unpacked), "ASSEMBLY_ASSISTANT_DATA": str(data)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_package_is_the_unpacked_one(unpacked: Path, tmp_path: Path) -> None:
    where = subprocess.run(
        [sys.executable, "-c", "import assistant.resources as r; print(r.data_folder('grammars'))"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(unpacked)},
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert str(unpacked) in where


def test_procedures_are_found_and_the_demonstration_runs(unpacked: Path, tmp_path: Path) -> None:
    listed = call(unpacked, tmp_path, "procedures")
    assert "kb2_input_shaft" in listed.stdout, listed.stderr
    store = ("--store", str(tmp_path / "demo.db"))
    demo = call(unpacked, tmp_path, "demo", "--keyboard", *store)
    assert demo.returncode == 0, demo.stdout + demo.stderr
    page = call(unpacked, tmp_path, "record", "--html", str(tmp_path / "record.html"), *store)
    assert page.returncode == 0, page.stderr
