"""Names of exports that Windows could not keep, compared with what Python knows of Windows."""

from __future__ import annotations

import ntpath
from pathlib import Path, PureWindowsPath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.report.export_file import ExportError, target_of
from assistant.report.portable_name import name_fault

_PIECES = ("con", "CON", "nul", "AUX", "prn", "com", "COM1", "lpt9", "LPT¹", "conin$", "record",
           ".", " ", ":", ".csv", "*", "\x1f", "é", "1")  # fmt: skip


@given(st.lists(st.sampled_from(_PIECES), min_size=1, max_size=4).map("".join))
def test_what_python_knows_to_be_reserved_on_windows_is_refused(name: str) -> None:
    if hasattr(ntpath, "isreserved"):  # Python 3.13
        reserved = ntpath.isreserved(name)
    else:
        reserved = PureWindowsPath(name).is_reserved()
    if reserved:
        assert name_fault(name), name


@pytest.mark.parametrize(
    "name", ["CON.csv", "nul.txt.csv", "com1.html", "LPT9 .csv", "record.csv.", "record.csv ",
             "rec:ord.csv", "what?.csv", "a\\b.csv"],
)  # fmt: skip
def test_an_export_is_refused_with_the_reason(name: str, tmp_path: Path) -> None:
    with pytest.raises(ExportError, match=r"Windows.*; choose another name"):
        target_of(tmp_path / name, "csv", ())


@pytest.mark.parametrize("name", ["record.csv", "console.csv", "com10.csv", "KB2-7 Spiel é.csv",
                                  ".csv", "a.con"])  # fmt: skip
def test_usual_names_are_kept(name: str, tmp_path: Path) -> None:
    assert name_fault(name) == ""
    assert target_of(tmp_path / name, "csv", ()) == (tmp_path / name).resolve()
