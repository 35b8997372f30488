"""Lend the tests of the command line a folder of files of their own."""

from __future__ import annotations

from pathlib import Path

import pytest

from command_line import shed as copied


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """The example's plan, brewery and readings, free to be changed."""
    return copied(tmp_path)
