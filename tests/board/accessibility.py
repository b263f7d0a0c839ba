"""axe-core in a page: the automated part of WCAG 2.1, levels A and AA.

The script comes with the package ``axe-core-python``; ``AXE_CORE`` in the environment names another
file, such as the newest ``axe.min.js`` of the npm package ``axe-core``.
"""

from __future__ import annotations

import os
from functools import cache
from importlib.resources import files
from pathlib import Path

from tests.board.chromium import Tab

_RULES = "['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'best-practice']"
_OF_COLOURS = "{ type: 'rule', values: ['color-contrast', 'link-in-text-block'] }"


@cache
def script() -> str:
    """The text of axe-core."""
    other = os.environ.get("AXE_CORE")
    where = Path(other) if other else files("axe_core_python") / "axe.min.js"
    return where.read_text(encoding="utf-8")


def violations(tab: Tab, colours_only: bool = False) -> list[str]:
    """What axe-core finds wrong with the page that is open: rule, and the elements it names.

    ``colours_only``: by the rules that look at colours.
    """
    if not tab.value("'axe' in window"):
        tab.value(script() + "; true")
    rules = _OF_COLOURS if colours_only else _RULES
    found = tab.value(
        # Only what is wrong is described in full, which is what axe-core's resultTypes is for.
        # Style sheets and sound are not fetched again: none of these rules reads the first, and
        # the board has none of the second.
        f"axe.run(document, {{ runOnly: {rules}, resultTypes: ['violations'], preload: false }})"
        ".then((r) => r.violations.map("
        "(v) => v.id + ': ' + v.nodes.map((n) => n.target.join(' ')).join(', ')))"
    )
    assert isinstance(found, list)
    return [str(one) for one in found]
