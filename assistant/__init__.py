"""Hands-free assembly assistant: listens, guides, computes, reads back, records."""

__version__ = "0.1.0"
