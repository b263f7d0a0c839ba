"""What ``doctor`` looks at, one thing and one line each; none of it needs a sound card."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from importlib.util import find_spec
from itertools import islice
from pathlib import Path

import numpy as np

from assistant.audio.inventory import devices_found
from assistant.audio.level import Level
from assistant.audio.microphone import Microphone
from assistant.audio.pedal import find_device as find_pedal_device
from assistant.cli.workplace import open_store
from assistant.journal.location import default_location
from assistant.journal.types import JournalError
from assistant.language.tree import GrammarError
from assistant.models.places import best_installed, models_folder
from assistant.procedure.loader import find_procedures
from assistant.speech.errors import SpeechError
from assistant.speech.inventory import InventoryItem, engines_found
from assistant.voice.espeak import EspeakSynthesiser
from assistant.voice.spoken_cache import cache_folder

_BUILT_AFTER = datetime(2026, 1, 1, tzinfo=UTC)
_ENOUGH_BYTES = 500 * 1024 * 1024  # some weeks of recorded utterances
_BLOCKS = 5  # half a second of the microphone


def bench_checks(language: str, store: str | None, device: str | None) -> list[InventoryItem]:
    """What a session cannot be without, and the procedures."""
    return [
        clock(datetime.now(UTC), store),
        record(store),
        room(store),
        *engines_found(language),
        *sound(device),
        voice(language),
        _procedures(),
    ]


def extras(language: str) -> Iterator[InventoryItem]:
    """What makes it better and need not be there."""
    if language.lower().startswith("en"):
        yield _neural_voice()
    yield _writable("spoken lines", cache_folder(), "without it, lines are made again each time")
    yield _writable("models", models_folder(), "no model can be fetched without it")


def clock(now: datetime, store: str | None = None) -> InventoryItem:
    """The machine's clock: not before this program, nor before the last thing recorded."""
    if now < _BUILT_AFTER:
        return _bad_clock(now, "")
    latest = _last_recorded(store)
    if latest is not None and latest > now:
        return _bad_clock(now, f", but something was recorded at {latest:%Y-%m-%d %H:%M}")
    return InventoryItem("clock", True, f"{now:%Y-%m-%d %H:%M} UTC")


def record(store: str | None) -> InventoryItem:
    """The record store: it opens, and takes a transaction."""
    where = store or str(default_location())
    try:
        open_store(store).journal.close()
    except JournalError as fault:
        return InventoryItem("record", False, remedy=str(fault))
    folder = _folder(store)
    if not os.access(folder, os.W_OK):
        return InventoryItem(
            "record", False, remedy=f"{folder} cannot be written to; give yourself leave."
        )
    return InventoryItem("record", True, where)


def room(store: str | None) -> InventoryItem:
    """Free space where the record and the sounds are kept."""
    free = shutil.disk_usage(_nearest(_folder(store))).free
    told = f"{free / 1e9:.1f} GB free"
    if free < _ENOUGH_BYTES:
        return InventoryItem(
            "space", False, remedy=f"only {told}; make room on the disk of the record."
        )
    return InventoryItem("space", True, told)


def sound(device: str | None) -> list[InventoryItem]:
    """The microphone, by half a second of its sound, and the loudspeaker."""
    return [_microphone(device), *(i for i in devices_found() if not _is_microphone(i))]


def voice(language: str) -> InventoryItem:
    """The voice, by a word that it makes."""
    try:
        made = EspeakSynthesiser(language)
        made.synthesise(made.prepared("One.", "plain"), 150)
    except (SpeechError, GrammarError) as fault:
        return InventoryItem("voice", False, remedy=str(fault))
    return InventoryItem("voice", True, made.identity)


def pedal(name: str) -> InventoryItem:
    """The foot pedal whose device name holds ``name``."""
    try:
        with closing(find_pedal_device(name)) as device:
            return InventoryItem("pedal", True, device.name)
    except (SpeechError, OSError) as fault:
        return InventoryItem("pedal", False, remedy=str(fault))


def _microphone(device: str | None) -> InventoryItem:
    try:
        with Microphone(device) as source:
            heard = np.concatenate(list(islice(source.blocks(), _BLOCKS)))
            name = source.name
    except SpeechError as fault:
        return InventoryItem("microphone", False, remedy=str(fault))
    if not heard.any():
        return InventoryItem(
            "microphone", False,
            remedy=f"'{name}' gives silence only; switch it on, or choose another with --device.",
        )  # fmt: skip
    return InventoryItem(
        "microphone", True, f"'{name}', {Level.of(heard).rms_dbfs:.0f} dBFS just now"
    )


def _is_microphone(item: InventoryItem) -> bool:
    return item.name.startswith(("microphone", "PortAudio"))


def _neural_voice() -> InventoryItem:
    name, use = "neural voice", "for --voice piper"
    if find_spec("piper") is None:
        remedy = f"install this program with the extra 'neural' ({use})."
        return InventoryItem(name, False, remedy=remedy)
    place = best_installed("piper")
    if place is None:
        remedy = f"run 'assembly-assistant models fetch piper-joe-medium' ({use})."
        return InventoryItem(name, False, remedy=remedy)
    return InventoryItem(name, True, str(place))


def _writable(name: str, folder: Path, why: str) -> InventoryItem:
    if not os.access(_nearest(folder), os.W_OK):
        return InventoryItem(name, False, remedy=f"{folder} cannot be written to ({why}).")
    return InventoryItem(name, True, str(folder))


def _procedures() -> InventoryItem:
    found = find_procedures()
    names = ", ".join(p.stem for p in found)
    return InventoryItem("procedures", bool(found), names, "install the package again.")


def _bad_clock(now: datetime, why: str) -> InventoryItem:
    remedy = f"it says {now:%Y-%m-%d %H:%M} UTC{why}; set the machine's date before work."
    return InventoryItem("clock", False, remedy=remedy)


def _last_recorded(store: str | None) -> datetime | None:
    try:
        with closing(open_store(store).journal) as journal:
            rows = journal.sessions()
    except JournalError:
        return None
    instants = [datetime.fromisoformat(row.last_at) for row in rows]
    return max(instants, default=None)


def _folder(store: str | None) -> Path:
    where = store or str(default_location())
    return default_location().parent if "://" in where else Path(where).parent


def _nearest(folder: Path) -> Path:
    """``folder``, or the one above it that is there."""
    folder = folder.absolute()
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    return folder
