"""Every threshold of the rule of trust, and the commands that need the least confidence."""

from __future__ import annotations

from dataclasses import dataclass, replace

STOPS_OR_ASKS = frozenset({
    "repeat", "slower", "faster", "louder", "quieter", "where_am_i", "what_is_left",
    "read_cautions", "what_torque", "what_limit", "digits", "help", "pause_listening", "stop_work",
    "wrong", "correction", "help_more", "fewer_words", "more_words",
})  # fmt: skip
"""Commands that stop, ask, or have the last thing repeated. They count from ``reject``;
everything else moves the work on or records something, and counts from ``advance``."""


@dataclass(frozen=True)
class Policy:
    """When something heard is trusted. The numbers come from the evaluation bench.

    Confidences, from 0 to 1. Below ``reject`` an utterance does nothing but a chime. Below
    ``advance`` so does everything that moves the work on or records: see :data:`STOPS_OR_ASKS`
    for what does neither. A reading below ``sure`` must be confirmed digit by digit. ``unasked``
    takes the place of ``reject`` where nobody asked the builder to speak: while the assistant
    talks, before it is called, and within a note.

    ``ask_confusable`` asks when a value, or a phrase of the procedure (a position, a label, an
    answer), has a near-sounding twin. ``second_settles`` leaves that question out where a second
    listener compared every such twin with the sound. Where it compared anything, what was meant
    must lead all else by ``lead`` nats of both listeners together (``Recognition.weighed``), and
    what sounds almost the same by ``twin_lead``: both listeners may take "ninety" for "nineteen".
    "Forty" and "sixty" said by a synthetic voice and taken for "fourteen" and "sixteen" by both
    listeners led by up to 6. No engine here has a second listener now; stored sessions that had
    one are replayed by these four.

    An engine that compared the whole grammar with the sound (``Recognition.beyond``) needs no
    such question. There what was meant must lead everything else that could have been meant:
    a value, digits, a name by ``compared_lead`` nats, a command by ``command_lead``. What differs
    from it only by a doubled sound ("sixteen newton", "sixty newton") it must lead by
    ``doubled_lead``: hardly anybody says both N. A value that does not lead so is asked about, and
    so is a phrase of the procedure behind which only others of its kind come too near.

    Where the engine compared such consonants as said once too (``Recognition.shared``), a value
    must lead by ``value_lead``, and only doubled consonants need the greater lead: "zero oh" is not
    said as "zero". Stored answers of before are judged as they were.

    Where two looks were taken (``Recognition.twice``), a value must lead another by ``sound_lead``
    for each sound in which they differ, and by ``most_sound_lead`` at most. What is heard well
    leads by more the more sounds are different: one voice's "seventy" led as "thirty", five sounds
    away, by no more than 11. A word put in or left out is told apart by its time as well. A word
    in the place of another is not: "three" led as "two" by up to 10, "fourteen" as "thirteen" by
    8. So where both have as many words (``Recognition.by_word``), ``word_lead`` counts instead of
    ``sound_lead``, and from two sounds on ``least_word_lead`` is needed. These numbers are as
    strict as six voices kept for choosing leave room for: they say 3.7 % of their values again in
    quiet, of 4 % at most, and 11.5 % in noise at 10 dB other than talk, of 12 %.

    A value in another unit than the gauge's is converted, so a misheard unit would make it another
    value. It must lead the same number in any other unit by ``unit_lead``, and it is asked about
    where the engine did not compare the whole grammar.
    """

    reject: float = 0.5
    advance: float = 0.7
    sure: float = 0.8
    unasked: float = 0.7
    ask_confusable: bool = True
    second_settles: bool = True
    lead: float = 4.0
    twin_lead: float = 7.0
    compared_lead: float = 5.0
    value_lead: float = 6.0
    doubled_lead: float = 12.0
    sound_lead: float = 2.8
    word_lead: float = 4.5
    least_word_lead: float = 11.0
    most_sound_lead: float = 16.0
    command_lead: float = 2.0
    unit_lead: float = 12.0

    def where_unasked(self) -> Policy:
        """The same policy for the moments in which nobody asked the builder to speak."""
        return replace(self, reject=max(self.reject, self.unasked))
