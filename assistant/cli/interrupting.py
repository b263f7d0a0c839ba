"""--interruptible: the assistant listens on while it speaks."""

from __future__ import annotations

from assistant.audio.duplex import DuplexLoudspeaker
from assistant.audio.echo import EchoGate
from assistant.audio.microphone import Gate
from assistant.cli.attending import Attending
from assistant.cli.terminal import tell
from assistant.cli.workplace import AskedError
from assistant.dialogue.context import Context
from assistant.session.edges import SpeechInput
from assistant.session.interruptible import Interruptible
from assistant.session.session import Session
from assistant.session.voice_output import VoiceOutput
from assistant.voice.played_voice import PlayedVoice


def duplex_for(asked: bool, typed_or_file: bool, when: Attending) -> DuplexLoudspeaker | None:
    """The loudspeaker for it, where it is asked for.

    Raises:
        AskedError: it does not go with what else was asked for.
        SpeechError: there is no loudspeaker.
    """
    if not asked:
        return None
    if typed_or_file or when.mode != "always":
        raise AskedError(
            "--interruptible is for a microphone that always listens; leave out --keyboard, "
            "--audio and --attend."
        )
    return DuplexLoudspeaker()


def gate_of(output: VoiceOutput) -> Gate:
    """What keeps the assistant from hearing itself: its echo taken out, or deafness meanwhile.

    Raises:
        SpeechError: the canceller's library is not installed.
    """
    if output.duplex is None:
        return output.gate
    if not isinstance(output.voice, PlayedVoice):
        tell("This voice cannot be interrupted; going on without --interruptible.")
        return output.gate
    return EchoGate(output.duplex.played)


def interrupted_by(
    source: SpeechInput, gate: Gate, session: Session, output: VoiceOutput, context: Context
) -> None:
    """Let ``source`` interrupt the session's speech, where ``gate`` lets it hear meanwhile."""
    if isinstance(gate, EchoGate):
        session.interruptible(Interruptible(output, source, context.language, context.policy))
