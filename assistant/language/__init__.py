"""The constrained spoken language: one grammar tree with many readers."""

from assistant.language.language import Language
from assistant.language.tree import GrammarError

__all__ = ["GrammarError", "Language"]
