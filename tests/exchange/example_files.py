"""Lend the tests the files that ship, and a way to change one line of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from gylebook.errors import Refused

ROOT = Path(__file__).parents[2]
AMBER = ROOT / "examples/amber-three-ways"
FIXED = ROOT / "tests/exchange/files"
DOUBLE = ROOT / "tests/practice/double-mash"
FOLDERS = [AMBER, DOUBLE]


def text_of(file):
    return file.read_text(encoding="utf-8")


def changed(text, *changes):
    """The text with each (old, new) put in once; a change that finds nothing is a slip in the test."""
    for old, new in changes:
        if old not in text:
            raise ValueError(f"{old!r} is not in the file")
        text = text.replace(old, new, 1)
    return text


def refusal(read, text, where):
    """Every problem of a text as one string."""
    with pytest.raises(Refused, match=where) as caught:
        read(text, where=where)
    return str(caught.value)
