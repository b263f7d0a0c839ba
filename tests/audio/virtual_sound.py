"""A private PulseAudio server: a virtual microphone, and a virtual loudspeaker.

The loudspeaker's sound comes back as the microphone's, or they are apart: then what is played on
``bench`` reaches the microphone, and what the assistant says is heard on ``horn.monitor``.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread

_ALSA = """</usr/share/alsa/alsa.conf>
pcm.!default { type pulse }
ctl.!default { type pulse }
"""


MICROPHONE = "module-null-sink sink_name=bench rate=48000 norewinds=1"
LOUDSPEAKER = "module-null-sink sink_name=horn rate=48000 norewinds=1"


@contextmanager
def virtual_sound(folder: Path, apart: bool = False) -> Iterator[dict[str, str]]:
    """Run the server in ``folder``; yield the environment in which programs use it.

    Raises:
        FileNotFoundError: PulseAudio is not installed; the test must then fail, not pass over.
    """
    if shutil.which("pulseaudio") is None or shutil.which("paplay") is None:
        raise FileNotFoundError(
            "PulseAudio is missing; install pulseaudio and pulseaudio-utils, as "
            "scripts/install_system.sh --tests does."
        )
    socket = folder / "native"
    (folder / "asound.conf").write_text(_ALSA)
    env = os.environ | {
        "HOME": str(folder),
        "XDG_RUNTIME_DIR": str(folder),
        "PULSE_RUNTIME_PATH": str(folder),
        "PULSE_SERVER": f"unix:{socket}",
        "PULSE_SINK": "horn" if apart else "bench",
        "PULSE_SOURCE": "bench.monitor",
        "ALSA_CONFIG_PATH": str(folder / "asound.conf"),
        "XDG_CACHE_HOME": os.environ.get("XDG_CACHE_HOME", str(Path.home() / ".cache")),
    }
    modules = (
        MICROPHONE,
        *([LOUDSPEAKER] if apart else []),
        f"module-native-protocol-unix socket={socket} auth-anonymous=1",
    )
    loads = [part for module in modules for part in ("-L", module)]
    server = subprocess.Popen(
        ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--use-pid-file=no",
         "--log-target=stderr", "--log-level=info", *loads],
        env=env | {"PULSE_SERVER": "", "LC_ALL": "C"},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        errors="replace",
    )  # fmt: skip
    try:
        _wait_until_ready(server)
        yield env
    finally:
        server.terminate()
        server.wait(timeout=300)


def plug_in(env: dict[str, str], module: str = MICROPHONE) -> str:
    """Load a module; returns the number it can be pulled out by."""
    words = ["pactl", "load-module", *module.split()]
    done = subprocess.run(words, env=env, capture_output=True, text=True, check=True, timeout=300)
    return done.stdout.strip()


def pull_out(env: dict[str, str], number: str | None = None) -> None:
    """Unload a module by its number; without one the microphone that was there at the start."""
    if number is None:
        listed = subprocess.run(
            ["pactl", "list", "short", "modules"],
            env=env, capture_output=True, text=True, check=True, timeout=300,
        ).stdout  # fmt: skip
        number = next(x.split("\t")[0] for x in listed.splitlines() if "sink_name=bench" in x)
    subprocess.run(["pactl", "unload-module", number], env=env, check=True, timeout=300)


def _wait_until_ready(server: subprocess.Popen[str]) -> None:
    """Read what the server tells until it is ready. Go on reading: a full pipe would stop it."""
    assert server.stderr is not None
    log = server.stderr
    for line in log:
        if "Daemon startup complete" in line:
            Thread(target=deque, args=(log, 0), daemon=True).start()
            return
    raise RuntimeError(f"PulseAudio did not start (status {server.wait()}).")
