"""Migrations of the store, one file each, never changed once released."""
