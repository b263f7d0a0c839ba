"""Continuous listening: memory growth, lost sound and processor share, as a table.

A whole session waits for a reading while noise is played into a virtual microphone: a quiet room
first, then the same time a shop (compressor, ratchet and grinder in turn). Nothing is asserted.

    python benchmarks/listening_bench.py --minutes 30

Needs PulseAudio (scripts/install_system.sh --tests).
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Literal

import numpy as np
import soundfile

from assistant.audio.microphone import Microphone
from assistant.audio.synthesis.noises import Waveform, as_samples, bench, grinder, hum, ratchet
from assistant.cli.hearing import Hearing, open_engine
from assistant.cli.workplace import context_for, find_procedure, open_store, opening
from assistant.dialogue.effects import ChimeName, Say
from assistant.dialogue.events import Person
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.language import Language
from assistant.session.clock import WallClock
from assistant.session.session import Session
from assistant.session.spoken_input import SpokenInput
from assistant.session.surroundings import SessionEdges, SessionStore
from assistant.speech.endpoint import heard_or_quiet
from assistant.speech.types import SAMPLE_RATE, Samples
from tests.audio.virtual_sound import virtual_sound

_PEOPLE = (Person(name="Otto Brandwick", initials="OB", role="builder"),
           Person(name="Marta Quill", initials="MQ", role="inspector"))  # fmt: skip
_ROOM_DBFS, _SHOP_DBFS = -50.0, -26.0
_PIECE_S = 60


class _Nobody:
    """Speech output and screen of a bench where nobody stands."""

    def say(self, said: Say) -> None: ...
    def can_play(self, clip: str) -> bool:
        return False

    def chime(self, which: ChimeName) -> None: ...
    def adjust(self, what: Literal["rate", "volume"], steps: int) -> None: ...
    def heard(self, sound: object) -> None: ...
    def said(self, said: Say) -> None: ...
    def recorded(self, fact: object) -> None: ...
    def state(self, state: object) -> None: ...


def listen(folder: Path, seconds: float, engine: str) -> None:
    """The measured process: listen for ``seconds`` of captured sound, report every minute."""
    clock = WallClock()
    kept = open_store(str(folder / "records.db"))
    procedure, opened = opening(find_procedure("kb2_input_shaft"), "noise", _PEOPLE, clock)
    context = context_for(procedure)
    session = Session(
        "bench",
        context,
        store=SessionStore(kept.journal, kept.clips),
        edges=SessionEdges(_Nobody(), _Nobody(), clock),
    )
    assert session.open(opened)
    # Waiting for a reading: the largest grammar that a bench listens under for long.
    session.state = replace(session.state, step="cap_gap", awaiting=Measuring(0))
    assert isinstance(context.language, Language)
    heard_by = open_engine(Hearing(engine=engine), procedure.language)
    with Microphone() as microphone:
        blocks = _reporting(microphone, session, seconds)
        session.run(SpokenInput(heard_by, context.language, heard_or_quiet(blocks)))


def _reporting(microphone: Microphone, session: Session, seconds: float) -> Iterator[Samples]:
    heard, told = 0, 0
    for block in microphone.blocks():
        yield block
        heard += len(block)
        if heard >= (told + 1) * 60 * SAMPLE_RATE:
            told += 1
            print(json.dumps(_figures(told, microphone, session)), flush=True)
        if heard >= seconds * SAMPLE_RATE:
            return


def _figures(minute: int, microphone: Microphone, session: Session) -> dict[str, float]:
    status = Path("/proc/self/status").read_text()
    rss = next(int(x.split()[1]) for x in status.splitlines() if x.startswith("VmRSS"))
    used = os.times()
    events = sum(e.kind == "event" for e in session._journal.read(session.id))
    return {
        "minute": minute,
        "rss_kb": rss,
        "cpu_s": used.user + used.system,
        "wall_s": time.monotonic(),
        "overruns": microphone.overruns,
        "taken": events - 1,
    }


def noise(path: Path, minutes: float) -> None:
    """Half the time a quiet room, half the time a shop, as a WAV file."""
    pieces = round(minutes * 60 / _PIECE_S)
    kinds = (hum, ratchet, grinder)
    with soundfile.SoundFile(path, "w", SAMPLE_RATE, 1, subtype="PCM_16") as file:
        for piece in range(pieces):
            length = _PIECE_S * SAMPLE_RATE
            if piece < pieces / 2:
                sound, level = bench(length, piece), _ROOM_DBFS
            else:
                sound, level = kinds[piece % 3](length, piece), _SHOP_DBFS
            file.write(as_samples(_at(sound, level)))


def _at(sound: Waveform, dbfs: float) -> Waveform:
    louder: float = 10 ** (dbfs / 20) * 32768 / float(np.sqrt(np.mean(sound**2)))
    return sound * louder


def main() -> None:
    """Run the bench and print its table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=30.0)
    parser.add_argument("--engine", default="auto")
    parser.add_argument("--worker", type=Path, help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.worker:
        listen(given.worker, given.minutes * 60, given.engine)
        return
    print(f"{platform.platform()}, {os.cpu_count()} CPUs, load {os.getloadavg()[0]:.1f}, "
          f"engine {given.engine}", flush=True)  # fmt: skip
    with tempfile.TemporaryDirectory(prefix="kb2-listen-") as name:
        folder = Path(name)
        noise(folder / "noise.wav", given.minutes + 2)
        with virtual_sound(folder) as env:
            player = subprocess.Popen(["paplay", str(folder / "noise.wav")], env=env)
            worker = subprocess.Popen(
                [sys.executable, __file__, "--worker", name, "--minutes", str(given.minutes),
                 "--engine", given.engine],
                env=env, stdout=subprocess.PIPE, text=True,
            )  # fmt: skip
            try:
                _table(worker, given.minutes)
            finally:
                player.terminate()
                worker.terminate()


def _table(worker: subprocess.Popen[str], minutes: float) -> None:
    print("minute  sound  RSS MB  CPU % of a core  overruns  utterances taken", flush=True)
    rows: list[dict[str, float]] = []
    assert worker.stdout is not None
    for line in worker.stdout:
        if not line.startswith("{"):
            continue
        rows.append(json.loads(line))
        now = rows[-1]
        before = rows[-2] if len(rows) > 1 else None
        share = "" if before is None else f"{_share(before, now):.1f}"
        sound = "room" if now["minute"] <= minutes / 2 else "shop"
        print(f"{now['minute']:6.0f}  {sound}  {now['rss_kb'] / 1024:7.1f}  {share:>15}"
              f"  {now['overruns']:8.0f}  {now['taken']:16.0f}", flush=True)  # fmt: skip
    if len(rows) < 4:
        return
    half = len(rows) // 2
    print(f"growth from minute 1 to {rows[-1]['minute']:.0f}: "
          f"{(rows[-1]['rss_kb'] - rows[0]['rss_kb']) / 1024:.1f} MB; "
          f"CPU in the room {_share(rows[0], rows[half - 1]):.1f} %, "
          f"in the shop {_share(rows[half], rows[-1]):.1f} % of a core; "
          f"overruns {rows[-1]['overruns']:.0f}")  # fmt: skip


def _share(before: dict[str, float], now: dict[str, float]) -> float:
    return 100 * (now["cpu_s"] - before["cpu_s"]) / (now["wall_s"] - before["wall_s"])


if __name__ == "__main__":
    main()
