"""Where the shipped data are: next to the package in a checkout, inside it in a wheel."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def data_folder(name: str) -> Path:
    """Return the folder of shipped data called ``name`` (``grammars`` or ``procedures``).

    Raises:
        FileNotFoundError: neither the installed package nor the checkout carries it.
    """
    for candidate in (_PACKAGE / "_data" / name, _PACKAGE.parent / name):
        if candidate.is_dir():
            return candidate
    raise FileNotFoundError(
        f"The assistant's {name} folder is missing; install the package again to restore it."
    )
