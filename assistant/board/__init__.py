"""The glance board: a read-only page for a tablet across the bench.

Optional: only :mod:`assistant.board.serving` needs the extra ``board`` (Starlette, uvicorn), and
nothing in the main job imports it before a board is asked for.
"""
