"""``python -m assistant``."""

from assistant.cli.main import entry

if __name__ == "__main__":
    entry()
