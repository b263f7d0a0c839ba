"""Typed model of an assembly procedure: what ``procedures/*.yaml`` may say."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from assistant.procedure.kinds import KINDS
from assistant.procedure.outline import Outline
from assistant.procedure.step import Step


class _OfAKind:
    """Makes ``Step`` the union of all kinds; ``kind`` says which one it is."""

    def __get_pydantic_core_schema__(
        self, source: type[Step], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.tagged_union_schema(
            {kind.kind: handler.generate_schema(kind.model) for kind in KINDS}, discriminator="kind"
        )


class Procedure(Outline):
    """A whole assembly procedure."""

    steps: Annotated[tuple[Annotated[Step, _OfAKind()], ...], Field(min_length=1)]
