"""The store of sessions in which nothing is built: first tries and demonstrations."""

from __future__ import annotations

from pathlib import Path

from assistant.folders import user_data
from assistant.journal.durable import make_folder, write_durably

_README = """\
First tries and demonstrations of the assembly assistant ("assembly-assistant try" and "demo").

The machine, the people and the values in these records are invented, and so is the inspector who
accepts them. Nothing was built. Records of real work are elsewhere: "assembly-assistant records"
lists them. You may delete this folder.
"""


def practice_store() -> Path:
    """The store of first tries and demonstrations, in a folder of its own that says what it is.

    An invented inspector accepts them: they must not stand among records of real work.

    Raises:
        OSError: the folder cannot be made or written to.
    """
    folder = user_data("first-tries")
    make_folder(folder)
    write_durably(folder / "README.txt", _README.encode())
    return folder / "records.db"
