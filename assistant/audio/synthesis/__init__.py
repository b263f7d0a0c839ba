"""Makes spoken audio from text with free synthesisers, for fixtures, tests and the bench."""

from assistant.audio.synthesis.session_script import ScriptLine, parse_script
from assistant.audio.synthesis.sessions import synthesise, waited_for
from assistant.audio.synthesis.speakers import SPEAKERS, say

__all__ = ["SPEAKERS", "ScriptLine", "parse_script", "say", "synthesise", "waited_for"]
