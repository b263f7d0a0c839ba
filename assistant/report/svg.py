"""Small pieces of SVG: numbers, elements, pictures with a text for those who cannot see them."""

from __future__ import annotations

from html import escape

from markupsafe import Markup


def number(value: float) -> str:
    """A coordinate with at most one decimal."""
    return f"{value:.1f}".removesuffix(".0")


def element(name: str, text: str = "", **attributes: float | str) -> str:
    """One element; ``_`` in attribute names stands for ``-``."""
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="'
        f'{escape(value) if isinstance(value, str) else number(value)}"'
        for key, value in attributes.items()
    )
    return f"<{name}{written}>{escape(text)}</{name}>" if text else f"<{name}{written}/>"


def picture(width: float, height: float, label: str, parts: list[str]) -> Markup:
    """A picture that says ``label`` to a screen reader. ``parts`` must be escaped already."""
    size = f'viewBox="0 0 {number(width)} {number(height)}"'
    return Markup(
        f'<svg role="img" aria-label="{escape(label)}" width="{number(width)}" '
        f'height="{number(height)}" {size}>{"".join(parts)}</svg>'
    )
