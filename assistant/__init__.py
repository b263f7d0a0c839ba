"""Hands-free assembly assistant: listens, guides, computes, reads back, records."""
