"""Turns the model's validation errors into sentences for a mechanic."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from pydantic_core import ErrorDetails

from assistant.procedure.field_names import PATTERNS, example_at, keys_at, meant_at
from assistant.procedure.kinds import KINDS, STEP_KINDS
from assistant.procedure.yaml_source import Loc, Source
from assistant.quantities.amount import EXAMPLE


def in_words(error: ErrorDetails, source: Source) -> tuple[Loc, str]:
    """The place of ``error`` in the file and a sentence that says what to do about it."""
    loc = _place(error["loc"], source.data)
    kind, context = error["type"], error.get("ctx", {})
    name = _name(loc)
    where = _where(loc, source.data)
    given = error["input"]
    match kind:
        case "missing":
            example = example_at(loc, source.data)
            such = f", such as '{loc[-1]}: {example}'" if example else ""
            return loc, f"The key '{loc[-1]}' is missing{where}; add it{such}."
        case "extra_forbidden":
            known = keys_at(loc[:-1], source.data)
            near = [k for k in (meant_at(loc, source.data),) if k in known]
            near = near or get_close_matches(str(loc[-1]), known, n=1, cutoff=0.6)
            hint = f"did you mean '{near[0]}'?" if near else f"use one of: {', '.join(known)}."
            return loc, f"The key '{loc[-1]}' is unknown{where}; {hint}"
        case "union_tag_not_found":
            kinds = ", ".join(STEP_KINDS)
            return loc, f"The key 'kind' is missing{where}; use one of: {kinds}."
        case "union_tag_invalid":
            tag = str(context.get("tag", ""))
            near = _kinds_meant(tag) or get_close_matches(tag, STEP_KINDS, n=1, cutoff=0.5)
            hint = f"did you mean '{near[0]}'? The kinds are" if near else "use one of"
            place = (*loc, "kind")
            return place, f"The kind '{_short(tag)}' is unknown; {hint}: {', '.join(STEP_KINDS)}."
        case "value_error":
            reason = str(context.get("error", "it cannot be used")).rstrip(".")
            example = example_at(loc, source.data)
            if example is not None:
                reason = reason.replace(f"'{EXAMPLE}'", f"'{example}'")
            return loc, f"{name}{where}: {reason}."
    return loc, f"{name}{where} {_problem(kind, context, given, str(_last_key(loc)))}"


def _kinds_meant(word: str) -> list[str]:
    """The kinds that a writer calls by ``word``."""
    return [kind.kind for kind in KINDS if word in kind.also_called]


def _problem(kind: str, context: dict[str, Any], given: object, key: str) -> str:
    shown = f"'{_short(given)}'"
    match kind:
        case "string_pattern_mismatch":
            return f"cannot be {shown}; {PATTERNS.get(str(context.get('pattern')), 'respell it')}."
        case "string_too_short":
            return "is empty; write a few words."
        case "string_too_long":
            return f"is longer than {context.get('max_length')} characters; shorten it."
        case "literal_error":
            allowed = str(context.get("expected", "")).replace(" or ", ", ").replace("'", "")
            near = get_close_matches(str(given), allowed.split(", "), n=1, cutoff=0.6)
            hint = f"did you mean '{near[0]}'? It may be" if near else "use one of"
            return f"cannot be {shown}; {hint}: {allowed}."
        case "too_short":
            return f"needs at least {context.get('min_length')} in its list; add what is missing."
        case "int_parsing" | "int_type" | "int_from_float" | "int_parsing_size":
            return f"cannot be {shown}; write a whole number, such as 4."
        case "bool_parsing" | "bool_type":
            return f"cannot be {shown}; write true or false."
        case "greater_than_equal":
            return f"cannot be {shown}; it must be at least {context.get('ge')}."
        case "less_than_equal":
            return f"cannot be {shown}; it must be at most {context.get('le')}."
        case "less_than":
            return f"cannot be {shown}; it must be under {context.get('lt')}."
        case "date_from_datetime_parsing" | "date_parsing" | "date_type":
            return f"cannot be {shown}; write the date as year-month-day, such as 2026-03-01."
        case "decimal_max_places":
            places = context.get("decimal_places")
            return f"cannot be {shown}; write a decimal number of at most {places} places."
        case "decimal_parsing" | "decimal_type" | "finite_number":
            return f"cannot be {shown}; write a decimal number, such as 0.5."
        case "tuple_type" | "list_type":
            return f"must be a list; write {key}: [first, second]."
        case "dict_type" | "model_type" | "model_attributes_type":
            return "must hold keys of its own, indented below it."
        case "string_type":
            return "must be a text, not a list or further keys; check the indentation."
        case "is_instance_of" | "dataclass_type" | "dataclass_exact_type":
            return "must be a number and a unit written as text, such as '0.002 in'."
    return f"cannot be {shown}; look it up in the guide to writing procedures."


def _place(loc: Loc, data: Any) -> Loc:
    """``loc`` without the parts that name the model's own unions and map keys."""
    place: list[str | int] = []
    for index, part in enumerate(loc):
        if isinstance(data, dict):
            if part == "[key]":
                continue
            if isinstance(part, str) and part not in data:
                if index + 1 < len(loc) and part in STEP_KINDS:
                    continue
                return (*place, part)  # a key that is missing
            data = data[part]
        elif isinstance(data, list) and isinstance(part, int) and part < len(data):
            data = data[part]
        else:
            break
        place.append(part)
    return tuple(place)


def _last_key(loc: Loc) -> str | int:
    return next((p for p in reversed(loc) if isinstance(p, str)), "the file")


def _name(loc: Loc) -> str:
    if not loc:
        return "The file"
    if isinstance(loc[-1], int):
        return f"Number {loc[-1] + 1} in '{_last_key(loc)}'"
    return f"The key '{loc[-1]}'"


def _where(loc: Loc, data: Any) -> str:
    """`` in step 'torque_cap'``: the nearest named thing around ``loc``."""
    if len(loc) < 3 or not isinstance(loc[0], str) or not isinstance(loc[1], int):
        return f" in '{loc[0]}'" if len(loc) > 1 and isinstance(loc[1], str) else ""
    item = data[loc[0]][loc[1]]
    singular = loc[0].removesuffix("s")
    name = item.get("id") if isinstance(item, dict) else None
    if isinstance(name, str) and loc[2] != "id":
        return f" in {singular} '{_short(name)}'"
    return f" in {singular} number {loc[1] + 1}"


def _short(value: object) -> str:
    text = " ".join(str(value).split())
    return text if len(text) <= 40 else text[:37] + "..."
