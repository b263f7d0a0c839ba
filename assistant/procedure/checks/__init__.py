"""The linter's checks, one subject to a file."""
