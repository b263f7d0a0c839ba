"""The commands that the dialogue knows; their words are data (``grammars/*/commands.yaml``)."""

from __future__ import annotations

ANYTIME = (
    "repeat",
    "slower",
    "faster",
    "louder",
    "quieter",
    "fewer_words",
    "more_words",
    "where_am_i",
    "what_is_left",
    "read_cautions",
    "take_note",
    "attach_picture",
    "pause_listening",
    "stop_work",
    "help",
    "help_more",
    "what_torque",
    "what_limit",
    "digits",
)
"""Commands that make sense in nearly every dialogue state."""

ASKED_OFTEN = ("repeat", "what_torque", "what_limit", "where_am_i", "read_cautions")
"""Those of them whose answers are spoken ahead, so that they are heard at once."""

SKIP_REASONS = ("skip_not_fitted", "skip_already_done", "skip_tool_missing", "skip_part_missing")
DISPOSITIONS = (
    "disposition_use_as_is",
    "disposition_rework",
    "disposition_replace",
    "disposition_refer",
)
YES_NO = ("confirm", "wrong")
