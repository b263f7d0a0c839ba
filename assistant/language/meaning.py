"""From the tags of a matched phrase to what was meant."""

from __future__ import annotations

from assistant.language.folding import fold_characters, fold_digits, fold_number
from assistant.language.spec import (
    Command,
    Digits,
    ListenSpec,
    Meaning,
    Phrase,
    Reading,
    Spelling,
)
from assistant.quantities.amount import Amount, Indication, Relation

_RELATIONS: dict[str, Relation] = {"lt": "lt", "le": "le", "gt": "gt", "ge": "ge"}


def meaning_of(tags: tuple[str, ...], spec: ListenSpec) -> Meaning | None:
    """The meaning of ``tags`` under ``spec``; None when they are incomplete."""
    keyed = dict(tag.partition(":")[::2] for tag in tags)
    if "cmd" in keyed:
        return Command(keyed["cmd"])
    if "phrase" in keyed:
        return Phrase((*spec.phrases, *spec.spoken_values)[int(keyed["phrase"])][0])
    match keyed.get("is"):
        case "digit_by_digit":
            digits = fold_digits(tags)
            return None if "/" in digits else Digits(digits)
        case "spelled":
            then = spec.after_spelling[int(keyed["then"])][0] if "then" in keyed else ""
            return Spelling(fold_characters(tags), then)
        case "reading" if spec.reading is not None:
            number = fold_number(tags)
            if number is None:
                return None
            unit = keyed.get("unit", spec.reading.units[0])
            amount = Amount(number.value, unit, number.resolution)
            return Reading(Indication(_RELATIONS.get(keyed.get("rel", ""), "eq"), amount))
    return None
