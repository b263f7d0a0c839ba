"""The states of a tightening step: what it waits for the builder to do or say."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.dialogue.states import DialogueState


@dataclass(frozen=True)
class Loosening(DialogueState):
    """The step starts again; fasteners that were turned by an angle must be loosened first."""


@dataclass(frozen=True)
class TorqueAcknowledge(DialogueState):
    """The torque or turn of pass ``pass_index`` was announced; acknowledgement is awaited.

    The pass goes on at fastener ``turn`` of its order; those before it stand tightened.
    ``by_angle``: the pass only turns, so there is no torque to acknowledge.
    """

    pass_index: int
    turn: int = 0
    by_angle: bool = False


@dataclass(frozen=True)
class Tightening(DialogueState):
    """Fastener ``turn`` in the order of pass ``pass_index`` is being tightened."""

    pass_index: int
    turn: int


@dataclass(frozen=True)
class PassAsked(DialogueState):
    """All fasteners from ``turn`` on were said to be done; a confirmation is awaited."""

    pass_index: int
    turn: int
