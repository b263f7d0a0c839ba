"""The record as one self-contained HTML page, for screen, printer and screen reader."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import lru_cache

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from pydantic import BaseModel, ConfigDict

from assistant.quantities.amount import Amount, Indication
from assistant.quantities.habit import converted
from assistant.report.model import BuildRecord, PictureLine, ReadingLine
from assistant.report.tolerance_plot import tolerance_plot, verdict_words
from assistant.report.torque_map import torque_map


class SealLine(BaseModel):
    """A seal that was checked with the record."""

    model_config = ConfigDict(frozen=True)
    entries: int
    sealed_at: str
    public_key: str
    fingerprint: str = ""


class Integrity(BaseModel):
    """What ``verify`` found: ``bad`` is its sentence, None when the record is sound."""

    model_config = ConfigDict(frozen=True)
    bad: str | None = None
    seals: tuple[SealLine, ...] = ()


class PictureView(BaseModel):
    """A picture as the page can show it: ``small`` is a data URI, ``link`` leads to the file.

    ``altered``: its file is not what it was; then it is not shown.
    """

    model_config = ConfigDict(frozen=True)
    altered: bool = False
    small: str | None = None
    link: str | None = None


def to_html(
    record: BuildRecord,
    integrity: Integrity | None = None,
    clip_link: Callable[[str], str | None] = lambda clip: None,
    picture: Callable[[PictureLine], PictureView] = lambda line: PictureView(),
    clip_altered: Callable[[str], bool] = lambda clip: False,
) -> str:
    """The page. It loads nothing: style and small pictures are inside; sounds are links.

    Args:
        integrity: the outcome of a check made now; None says on the page that none was made.
        clip_link: the address of a clip's file seen from the page, or None when it is not kept.
        picture: how a picture of the record is shown.
        clip_altered: whether a clip's file is not what it was; then there is no link to it.
    """
    by_step: dict[str, list[ReadingLine]] = {}
    for reading in record.readings:
        by_step.setdefault(reading.step, []).append(reading)
    return _template().render(
        record=record,
        integrity=integrity,
        readings=by_step,
        titles={line.id: line.title for line in record.steps},
        tools={tool.id: tool.name for tool in record.tools},
        clip_link=clip_link,
        picture=picture,
        clip_altered=clip_altered,
    )


@lru_cache(maxsize=1)
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("assistant.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["moment"] = moment
    environment.filters["lasting"] = lasting
    environment.filters["other"] = other
    environment.filters["words"] = lambda code: str(code).replace("_", " ")
    environment.globals["tolerance_plot"] = tolerance_plot
    environment.globals["torque_map"] = torque_map
    environment.globals["verdict"] = verdict_words
    return environment


def _template() -> Template:
    return _environment().get_template("record.html.j2")


def moment(at: str | None) -> str:
    """An instant as written on paper, in the offset in which it was recorded."""
    if not at:
        return ""
    try:
        instant = datetime.fromisoformat(at)
    except ValueError:
        return at  # as it stands in the record
    written = instant.isoformat(" ", "seconds")  # several times as quick as strftime
    offset = written[19:25]
    return f"{written[:19]} UTC{'' if offset in ('+00:00', '') else offset}"


def lasting(seconds: float) -> str:
    """A duration in hours, minutes and seconds; a negative one says that the clock moved."""
    if seconds < 0:
        return "clock was set back"
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f"{hours} h {minutes} min"
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


def other(value: Amount | Indication | None) -> str:
    """A quantity in the other system's unit, or nothing where it has none."""
    if value is None:
        return ""
    if isinstance(value, Amount):
        found = converted(value)
        return "" if found is None else str(found)
    amount = converted(value.amount)
    if amount is None:
        return ""
    upper = None if value.upper is None else converted(value.upper, amount.unit)
    return str(replace(value, amount=amount, upper=upper))
