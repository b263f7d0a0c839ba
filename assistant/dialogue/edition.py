"""Which rules of the dialogue a session was begun under.

A stored session must replay to the very facts that it recorded. So a rule that changes what is
recorded holds for the sessions begun since, and its number says since when.
"""

from __future__ import annotations

CONVERTS = 1
"""A reading said in another unit is converted; before, it was asked for digit by digit."""

COMMANDS_IN_NOTES = 1
"""Within a note or reason "go back", "take a note" and "cancel the note" do what they say."""

WAITS_END_AT_RESUME = 2
"""A wait that ran out during a rest ends with the greeting; before, its timer rang after it."""

OWN_LENGTHS = 3
"""With an adapter the length of the wrench in hand counts; before, that of the procedure's did."""

LOOKS_AGAIN = 3
"""A tool is looked at again before it reads or is set, and before another bench's is; what was told
of shims is what counts. Before, the tool that was there when the step began was believed in."""

LOST_TIME_IS_NOT_COUNTED = 3
"""Where the clock was lost between two rows of a log, no rate is computed from them."""

STALE_IS_DROPPED = 3
"""A line cut short is not owed once another one has taken its place, and is owed as it was meant
when it is cut while it is repeated."""

EDITION = 3
"""That of a session begun now. Sessions from before it was counted have 0."""
