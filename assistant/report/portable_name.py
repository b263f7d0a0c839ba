"""File names that every system can keep: an export travels to machines with other systems.

Windows has the narrowest rules (Microsoft Learn, "Naming Files, Paths, and Namespaces", naming
conventions): some names are devices, whatever comes after a dot; some characters are forbidden; a
dot or a space at the end is dropped. A colon names a hidden stream of a file there.
"""

from __future__ import annotations

import re

_DEVICE = re.compile(r"(?:CON|PRN|AUX|NUL|CONIN\$|CONOUT\$|(?:COM|LPT)[0-9¹²³])\Z", re.IGNORECASE)
_FORBIDDEN = re.compile(r'[<>:"/\\|?*\x00-\x1f]')


def name_fault(name: str) -> str:
    """Why Windows cannot keep a file called ``name``, in a few words; empty where it can."""
    if found := _FORBIDDEN.search(name):
        return f"a file name on Windows cannot have {found[0]!r} in it"
    if name[-1:] in (".", " "):
        return f"Windows drops the {'dot' if name.endswith('.') else 'space'} at the end"
    if _DEVICE.match(name.partition(".")[0].rstrip(" ")):
        return "that name is a device on Windows"
    return ""
