"""Large blocks leave the heap when they are freed, so that listening does not make it grow."""

from __future__ import annotations

import ctypes
import platform
import subprocess
import sys

import pytest

from assistant.speech.heap import give_large_blocks_back

# By itself glibc would keep the third block on its heap: it learns from the first two that such
# blocks come and go (mallopt(3), M_MMAP_THRESHOLD: "dynamic mmap threshold").
ASK = """
import ctypes, sys
from assistant.speech.heap import give_large_blocks_back
class Heap(ctypes.Structure):  # mallinfo2, malloc.h
    _fields_ = [(n, ctypes.c_size_t) for n in ("arena ordblks smblks hblks hblkhd usmblks fsmblks "
                                               "uordblks fordblks keepcost").split()]
lib = ctypes.CDLL(None)
lib.mallinfo2.restype = Heap
lib.malloc.restype, lib.malloc.argtypes = ctypes.c_void_p, [ctypes.c_size_t]
lib.free.argtypes = [ctypes.c_void_p]
if sys.argv[1] == "asked":
    assert give_large_blocks_back()
for _ in range(2):
    lib.free(lib.malloc(4 << 20))
before = lib.mallinfo2().hblkhd
kept = lib.malloc(4 << 20)
print(lib.mallinfo2().hblkhd - before >= 4 << 20)
"""


def has_mallinfo2() -> bool:
    return platform.libc_ver()[0] == "glibc" and hasattr(ctypes.CDLL(None), "mallinfo2")


@pytest.mark.skipif(not has_mallinfo2(), reason="the C library is not glibc 2.33 or newer")
@pytest.mark.parametrize(("asked", "apart"), [("asked", "True"), ("left", "False")])
def test_a_large_block_lies_apart_from_the_heap_where_it_was_asked_for(
    asked: str, apart: str
) -> None:
    done = subprocess.run(
        [sys.executable, "-c", ASK, asked], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == apart


def test_elsewhere_nothing_is_changed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ctypes, "CDLL", lambda name: object())
    assert give_large_blocks_back() is False
