"""How espeak-ng is asked to speak."""

from __future__ import annotations

from dataclasses import dataclass, replace

_FULL_AMPLITUDE = 100  # espeak-ng goes to 200, which is distorted


@dataclass(frozen=True)
class EspeakSettings:
    """``voice`` as espeak-ng names it, words per minute, and loudness from 0 to 1."""

    voice: str
    words_per_minute: int
    volume: float

    @property
    def amplitude(self) -> int:
        """The loudness as espeak-ng counts it."""
        return round(_FULL_AMPLITUDE * min(1.0, max(0.0, self.volume)))

    def arguments(self) -> tuple[str, ...]:
        """The settings as the command's arguments; ``-m`` has it read SSML."""
        return ("-m", "-v", self.voice, "-s", str(self.words_per_minute), "-a", str(self.amplitude))

    def at_rate(self, words_per_minute: int) -> EspeakSettings:
        """The same at another rate."""
        return replace(self, words_per_minute=words_per_minute)

    def at_volume(self, fraction: float) -> EspeakSettings:
        """The same at another loudness."""
        return replace(self, volume=fraction)
