"""Marks of tests that need what only some systems have; everything else runs everywhere."""

from __future__ import annotations

import os
import sys

import pytest

POSIX = pytest.mark.skipif(
    os.name == "nt", reason="Windows has no fork, FIFO, /dev or such file modes"
)
DEBIAN = pytest.mark.skipif(
    sys.platform != "linux", reason="needs Debian packages: scripts/install_system.sh --tests"
)
