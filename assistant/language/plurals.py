"""Which form of a sentence goes with a count: the plural rules of the Unicode CLDR, by babel."""

from __future__ import annotations

from collections.abc import Mapping

from babel import Locale
from babel.core import UnknownLocaleError


def plural(texts: Mapping[str, str], key: str, language: str, params: Mapping[str, object]) -> str:
    """The text called ``key``: its only one, or the form for the count that is among ``params``.

    A text for one very count goes before the form that the language's rules give it.

    Raises:
        KeyError: there is no such text, or no count to choose its form by.
    """
    if key in texts:
        return texts[key]
    if f"{key}.other" not in texts:
        raise KeyError(key)
    count = params["count"]
    assert isinstance(count, int)
    found = locale_of(language)
    form = "other" if found is None else found.plural_form(count)
    for name in (f"{key}.{count}", f"{key}.{form}"):
        if name in texts:
            return texts[name]
    return texts[f"{key}.other"]


def locale_of(language: str) -> Locale | None:
    """The locale of ``language``; None where it is unknown."""
    try:
        return Locale.parse(language, sep="-")
    except (UnknownLocaleError, ValueError):
        return None
