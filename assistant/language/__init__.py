"""The constrained spoken language: grammar tree, numbers, prompts."""

from assistant.language.language import Language

__all__ = ["Language"]
