"""A builder's voice profile: the model of the file, and writing and reading it.

The file is JSON; docs/voice-profile.schema.json is its schema, made from this model.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Final, Literal

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, ValidationError

from assistant.fitting.errors import FittingError
from assistant.fitting.profile_folder import profile_path, same_builder
from assistant.fitting.thresholds import HIGHEST_SURE, LOWEST_REJECT
from assistant.journal.durable import write_durably
from assistant.language.policy import Policy

VERSION: Final = 1
FORMAT: Final = "assembly-assistant voice profile"

ZeroToOne = Annotated[float, Field(ge=0.0, le=1.0)]


class _ProfilePart(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, defer_build=True)


class MeasuredLevels(_ProfilePart):
    """Levels in dBov, the ratio in dB, and the share of samples that were cut off."""

    speech_dbov: float
    noise_dbov: float
    snr_db: float
    clipped: ZeroToOne


class ChosenThresholds(_ProfilePart):
    """Scores from which something counts; bounds as the check itself keeps them."""

    reject: float = Field(ge=LOWEST_REJECT, le=Policy.advance)
    sure: float = Field(ge=Policy.sure, le=HIGHEST_SURE)


class CheckedPhrase(_ProfilePart):
    """What was to be read, what was heard (empty: nothing) and with which score."""

    asked: str
    heard: str
    confidence: ZeroToOne
    right: bool


class Profile(_ProfilePart):
    """How a builder is heard at a bench.

    ``listener`` is the engine that heard the check: scores of another one mean something else.
    ``source`` is the microphone's or the recording's name.
    """

    format: Literal["assembly-assistant voice profile"] = FORMAT
    version: Literal[1] = VERSION
    builder: str = Field(min_length=1)
    made_at: AwareDatetime
    language: str
    listener: str
    source: str
    levels: MeasuredLevels
    thresholds: ChosenThresholds
    phrases: tuple[CheckedPhrase, ...]
    advice: tuple[str, ...]
    adaptation: object = Field(default=None, exclude=True)  # of older profiles; read and left out


def save(profile: Profile, folder: Path | None = None) -> Path:
    """Write ``profile`` under its builder's name: all of it or, after a power cut, the old one.

    Raises:
        FittingError: the folder cannot be written to.
    """
    path = profile_path(profile.builder, folder)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_durably(path, (profile.model_dump_json(indent=1) + "\n").encode())
    except OSError as fault:
        raise FittingError(
            f"The voice profile cannot be written to {path} ({fault.strerror}); fix the folder's "
            "permissions, or choose another with ASSEMBLY_ASSISTANT_CONFIG."
        ) from None
    return path


def load(builder: str, folder: Path | None = None) -> Profile | None:
    """``builder``'s profile; None when there is none.

    Raises:
        FittingError: it is broken, of another version, or another person's.
    """
    path = profile_path(builder, folder)
    again = f"make it again with: assembly-assistant fit --builder '{builder}'"
    try:
        data = json.loads(path.read_bytes())
    except FileNotFoundError:
        return None
    except (OSError, ValueError, RecursionError):
        raise FittingError(f"The voice profile {path} cannot be read; {again}.") from None
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise FittingError(f"{path} is not a voice profile; move it away, and {again}.")
    if data.get("version") != VERSION:
        raise FittingError(
            f"The voice profile {path} is of version {data.get('version')!r}, and this program "
            f"reads version {VERSION}; {again}."
        )
    try:
        profile = Profile.model_validate(data)
    except ValidationError as fault:
        first = fault.errors()[0]
        where = ".".join(map(str, first["loc"])) or "its contents"
        raise FittingError(f"The voice profile {path} is broken at '{where}'; {again}.") from None
    if not same_builder(profile.builder, builder):
        raise FittingError(f"{path} is the voice profile of {profile.builder}; {again}.")
    return profile
