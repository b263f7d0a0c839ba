"""A private PulseAudio server with one virtual loudspeaker whose sound comes back as microphone."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_ALSA = """</usr/share/alsa/alsa.conf>
pcm.!default { type pulse }
ctl.!default { type pulse }
"""


@contextmanager
def virtual_sound(folder: Path) -> Iterator[dict[str, str]]:
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
        "PULSE_SINK": "bench",
        "PULSE_SOURCE": "bench.monitor",
        "ALSA_CONFIG_PATH": str(folder / "asound.conf"),
        "XDG_CACHE_HOME": os.environ.get("XDG_CACHE_HOME", str(Path.home() / ".cache")),
    }
    modules = (
        "module-null-sink sink_name=bench rate=48000",
        f"module-native-protocol-unix socket={socket} auth-anonymous=1",
    )
    loads = [part for module in modules for part in ("-L", module)]
    server = subprocess.Popen(
        ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--use-pid-file=no", *loads],
        env=env | {"PULSE_SERVER": ""},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        _wait_until_ready(server, env)
        yield env
    finally:
        server.terminate()
        server.wait(timeout=10)


def _wait_until_ready(server: subprocess.Popen[bytes], env: dict[str, str]) -> None:
    """Ask until the server answers; each question waits on its own."""
    for _ in range(200):
        asked = subprocess.run(["pactl", "info"], env=env, capture_output=True, check=False)
        if asked.returncode == 0:
            return
        if server.poll() is not None:
            raise RuntimeError(f"PulseAudio did not start (status {server.returncode}).")
    raise RuntimeError("PulseAudio does not answer.")
