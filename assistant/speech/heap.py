"""The C library's heap, kept from growing over a day of listening."""

from __future__ import annotations

import ctypes

_LARGE = 128 * 1024
_MMAP_THRESHOLD = -3  # M_MMAP_THRESHOLD of glibc's malloc.h


def give_large_blocks_back() -> bool:
    """Have large blocks go straight back to the system when they are freed; False elsewhere.

    glibc raises its limit for such blocks by itself as they come and go. Then the sound of long
    utterances lies between a recogniser's small tables, and the heap grows by the holes: under
    shop noise 7.6 MB at most as against 4.9 MB (measured).
    """
    try:
        set_option = ctypes.CDLL(None).mallopt
    except (AttributeError, OSError, TypeError):  # another C library
        return False
    return bool(set_option(_MMAP_THRESHOLD, _LARGE))
