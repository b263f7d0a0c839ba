"""Which styles of the neural synthesiser training meets, and which it never does.

The thresholds are chosen on the side "choose", and what is reported comes from the side "test".
Styles that may be of one person (a name in two languages) are on the same side.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Styles = Mapping[str, NDArray[np.float32]]
TEST = (
    "af_kore", "af_sarah", "am_fenrir", "am_michael", "bf_emma", "bf_lily", "bm_daniel", "bm_lewis",
    "ff_siwis", "hm_omega", "if_sara", "zm_yunxi",
)  # fmt: skip
CHOOSE = ("af_nova", "am_eric", "bf_alice", "bm_fable", "hf_alpha", "zf_xiaoyi")
UNUSED = ("bm_george",)
"""Nothing named as a speaker of the digit test is trained on, to be on the safe side."""


def read_styles(folder: Path) -> dict[str, NDArray[np.float32]]:
    """Styles by name, a row for each length of text, out of a folder of ``.bin`` files.

    float32 as the package has them, or float16 for sending elsewhere.
    """
    found = {}
    for path in sorted(folder.glob("*.bin")):
        data = path.read_bytes()
        whole = len(data) % (510 * 256 * 4) == 0
        rows = np.frombuffer(data, np.float32 if whole else np.float16).reshape(-1, 1, 256)
        found[path.stem] = rows.astype(np.float32)
    return found


def styles_of(styles: Styles, side: str) -> dict[str, NDArray[np.float32]]:
    """Those of one side.

    Raises:
        ValueError: there are none.
    """
    kept = {"test": TEST, "choose": CHOOSE}
    elsewhere = {*TEST, *CHOOSE, *UNUSED}
    names = kept[side] if side in kept else [name for name in styles if name not in elsewhere]
    found = {name: styles[name] for name in names if name in styles}
    if not found:
        raise ValueError(f"There are no styles for '{side}'; name the folder of the voices.")
    return found
