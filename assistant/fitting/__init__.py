"""The voice check: how a builder and a microphone are heard, kept as a profile."""
