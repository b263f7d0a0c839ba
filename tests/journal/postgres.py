"""A private PostgreSQL cluster in a folder, run by an unprivileged user when we are root."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
from pathlib import Path

import psycopg


def _program(name: str) -> str:
    homes = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))  # where Debian keeps them
    found = str(homes[-1]) if homes else shutil.which(name)
    if found is None:
        raise FileNotFoundError("PostgreSQL is not installed; run: apt-get install postgresql")
    return found


class Cluster:
    """A server that listens on a socket in its own folder alone."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.data = folder / "data"

    def _run(self, program: str, *arguments: str) -> None:
        command = [_program(program), *arguments]
        as_root = os.geteuid() == 0  # initdb refuses root
        with (self.folder / "log").open("ab") as log:
            subprocess.run(
                command,
                check=True,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                user="postgres" if as_root else None,
                group="postgres" if as_root else None,
                cwd=self.folder,
            )

    def make(self) -> None:
        """Make the cluster."""
        if os.geteuid() == 0:
            shutil.chown(self.folder, "postgres", "postgres")
        self._run(
            "initdb", "-D", str(self.data), "-U", "bench", "-A", "trust", "-E", "UTF8",
            "--locale=C", "-N",
        )  # fmt: skip

    def kill(self) -> None:
        """kill -9 of the server and everything that it has started."""
        server = int((self.data / "postmaster.pid").read_text().splitlines()[0])
        group = os.getpgid(server)
        assert group == server, "the server leads a group of its own"
        os.killpg(group, signal.SIGKILL)

    def start(self) -> None:
        """Start the server; returns when it answers."""
        # Without fsync a killed server still loses nothing, for the machine itself lives on.
        options = f"-k {self.folder} -c listen_addresses='' -c fsync=off"
        self._run(
            "pg_ctl", "-D", str(self.data), "-w", "-o", options,
            "-l", str(self.data / "server.log"), "start",
        )  # fmt: skip

    def stop(self, mode: str = "immediate") -> None:
        """Stop it; ``immediate`` is a crash, ``fast`` is orderly."""
        self._run("pg_ctl", "-D", str(self.data), "-w", "-m", mode, "stop")

    def url(self, database: str) -> str:
        """The URL of a database of this cluster."""
        return f"postgresql://bench@/{database}?host={self.folder}"

    def new_database(self) -> str:
        """Empty the tests' database; returns its URL. (A database of its own would be slower.)"""
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
                "WHERE pid <> pg_backend_pid() AND datname = 'postgres'"
            )
            connection.execute("DROP SCHEMA public CASCADE")
            connection.execute("CREATE SCHEMA public")
        return self.url("postgres")

    def running(self) -> bool:
        """Whether the server runs."""
        return (self.data / "postmaster.pid").exists()
