"""Hold the list of sources to be complete and unmistakable."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from gylebook.figures.sources import _ALL, SOURCES, cite


def test_no_two_sources_share_a_key() -> None:
    assert [key for key, times in Counter(source.key for source in _ALL).items() if times > 1] == []


@pytest.mark.parametrize("key", SOURCES)
def test_every_source_says_where_it_is_found_and_how_well_it_is_known(key: str) -> None:
    source = SOURCES[key]

    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key)
    assert source.key == key
    assert source.citation.strip()
    assert source.note.strip()


def test_a_citation_is_followed_by_its_worth() -> None:
    assert cite("kell-1975").startswith("G. S. Kell, J. Chem. Eng. Data 20 (1975) 97 (numerator confirmed")


def test_a_number_cannot_lean_on_a_source_that_is_not_listed() -> None:
    with pytest.raises(ValueError, match="no source is listed under 'hearsay'"):
        cite("hearsay")


def test_the_list_cannot_be_changed_while_the_program_runs() -> None:
    with pytest.raises(TypeError, match="does not support item assignment"):
        SOURCES["hearsay"] = SOURCES["house"]  # type: ignore[index]
