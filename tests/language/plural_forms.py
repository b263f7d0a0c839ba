"""The plural forms that a language needs, and what a text is called without its form."""

from __future__ import annotations

from assistant.language.plurals import locale_of

_FORMS = ("zero", "one", "two", "few", "many", "other")


def categories(language: str) -> frozenset[str]:
    """The forms that ``language`` (such as ``en-US``) has; ``other`` alone where it is unknown."""
    found = locale_of(language)
    return frozenset({"other"} if found is None else found.plural_form.tags | {"other"})


def base_key(key: str) -> str:
    """The name of a text without that of its form."""
    base, _, form = key.rpartition(".")
    return base if base and (form in _FORMS or form.isdecimal()) else key
