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

EDITION = 3
"""That of a session begun now. Sessions from before it was counted have 0."""
