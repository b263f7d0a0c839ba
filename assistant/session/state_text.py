"""A state as JSON text and back, exactly: the same classes, numbers and order.

Only the classes that a state names can come out of such a text, each where the state has it, so
reading one runs no code of its own. A class in a union carries its name, and so does what is
awaited, which is any of the dialogue states that have an owner.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from fractions import Fraction
from types import UnionType
from typing import Any, Union, get_args, get_origin

from cattrs import BaseValidationError, Converter
from cattrs.errors import StructureHandlerNotFoundError
from pydantic import BaseModel

from assistant.dialogue.owner import all_states
from assistant.dialogue.state import State
from assistant.dialogue.states import DialogueState

_KIND, _BODY = "kind", "body"


def to_plain(state: State) -> dict[str, Any]:
    """``state`` in terms of JSON.

    Raises:
        TypeError: it holds something that a state does not hold.
    """
    try:
        plain: dict[str, Any] = _CONVERTER.unstructure(state, State)
        again = from_plain(json.loads(json.dumps(plain)))
    except (AttributeError, ValueError) as error:
        raise TypeError("A field of the state holds what it is not declared to hold.") from error
    if again != state:
        raise TypeError("The state would not come back unchanged.")
    return plain


def from_plain(plain: object) -> State:
    """What :func:`to_plain` was given.

    Raises:
        ValueError: ``plain`` is not what it makes.
    """
    try:
        return _CONVERTER.structure(plain, State)
    except (BaseValidationError, StructureHandlerNotFoundError, TypeError, AttributeError) as error:
        raise ValueError("Not the text of a state.") from error


def _converter() -> Converter:
    made = Converter(forbid_extra_keys=True, unstruct_collection_overrides={frozenset: sorted})
    for kind in (str, int, bool):
        made.register_structure_hook(kind, _exactly)
    made.register_unstructure_hook(Fraction, lambda value: [value.numerator, value.denominator])
    made.register_structure_hook(Fraction, lambda plain, _: Fraction(*map(int, plain)))
    made.register_unstructure_hook_func(_is_model, lambda value: value.model_dump(mode="json"))
    made.register_structure_hook_func(_is_model, lambda plain, kind: kind.model_validate(plain))
    made.register_unstructure_hook_factory(_is_choice, lambda union: _named(made, union))
    made.register_structure_hook_factory(_is_choice, lambda union: _by_name(made, union))
    return made


def _exactly(plain: Any, kind: type) -> Any:
    """A text for a number, or a number for a truth, is damage, and not repaired."""
    if type(plain) is not kind:
        raise TypeError(f"{plain!r} is not a {kind.__name__}.")
    return plain


def _is_model(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def _classes(union: Any) -> Mapping[str, type]:
    kinds = all_states() if union is DialogueState else get_args(union)
    return {kind.__name__: kind for kind in kinds if kind is not type(None)}


def _is_choice(kind: Any) -> bool:
    """Whether ``kind`` is a union of two classes or more, apart from None, or amounts to one."""
    return kind is DialogueState or (
        get_origin(kind) in (Union, UnionType) and len(_classes(kind)) > 1
    )


def _named(converter: Converter, union: Any) -> Callable[[Any], Any]:
    classes = _classes(union)

    def unstructure(value: Any) -> Any:
        if value is None and type(None) in get_args(union):
            return None
        name = type(value).__name__
        if classes.get(name) is not type(value):
            raise TypeError(f"A state does not hold a {name} here.")
        return {_KIND: name, _BODY: converter.unstructure(value, classes[name])}

    return unstructure


def _by_name(converter: Converter, union: Any) -> Callable[[Any, Any], Any]:
    classes = _classes(union)

    def structure(plain: Any, _: Any) -> Any:
        if plain is None and type(None) in get_args(union):
            return None
        if not isinstance(plain, dict) or plain.keys() != {_KIND, _BODY}:
            raise ValueError("A class of several must carry its name.")
        return converter.structure(plain[_BODY], classes[plain[_KIND]])

    return structure


_CONVERTER = _converter()
