"""The manual leads somewhere and leaves nothing out."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import click
import pytest

from docs_tables import PAGES, PLACE, ROOT, commands, filled, tables
from gylebook.errors import Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.larder_file import read_larder
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.readings_file import read_readings
from gylebook.exchange.wish_file import read_wish
from gylebook.faces.cli import main
from gylebook.gyle import limits as limiting

ALL = (ROOT / "README.md", ROOT / "CHANGELOG.md", *PAGES)
LINK = re.compile(r"\]\(([^)\s]+)\)|(?:src|href)=\"([^\"]+)\"")
MANUAL = "\n".join(page.read_text(encoding="utf-8") for page in PAGES)


def _anchor(heading: str) -> str:
    """A heading as a page on the web is linked by it: letters, digits, hyphens."""
    return re.sub(r"[^\w\- ]", "", heading.strip().lower()).replace(" ", "-")


@pytest.mark.parametrize("page", ALL, ids=lambda page: page.name)
def test_every_link_leads_to_a_file_and_a_heading_that_are_there(page: Path) -> None:
    for link in (one or other for one, other in LINK.findall(page.read_text(encoding="utf-8"))):
        name, _, anchor = link.partition("#")
        target = (page.parent / name).resolve() if name else page
        assert target.is_file(), f"{page.name} links to {link}"
        if anchor:
            headings = re.findall(r"^#+ (.+)$", target.read_text(encoding="utf-8"), re.MULTILINE)
            assert anchor in map(_anchor, headings), f"{page.name} links to {link}"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_table_says_what_the_program_says(page: Path) -> None:
    text = page.read_text(encoding="utf-8")

    assert filled(text) == text, "write the tables anew with: python tests/docs_tables.py"


def test_every_key_option_figure_and_source_has_its_table() -> None:
    places = [place[1] for place in PLACE.findall(MANUAL)]

    assert sorted(places) == sorted(tables())


def test_every_command_has_a_heading_and_every_option_a_word_of_help() -> None:
    for name, command in commands(main):
        assert f"## {name}\n" in MANUAL
        for parameter in command.params:
            if isinstance(parameter, click.Option):
                assert parameter.help, f"{name} {parameter.opts[0]}"
                assert f"`{parameter.opts[0]}`" in MANUAL


def test_every_limit_stands_in_the_manual_with_its_threshold() -> None:
    source = Path(limiting.__file__).read_text(encoding="utf-8")
    names = re.findall(r'name="([^"]+)"|: \("([^"]+)", (?:kettle|"")', source)
    rows = dict(re.findall(r"^\| `([a-z ]+)` \| .+ \| (.+) \|$", MANUAL, re.MULTILINE))

    assert {one or other for one, other in names} <= set(rows)
    assert f"{limiting.LEAST_LIQUOR:g} L" in rows["mash thickness"]
    assert limiting.HOIST_SAFETY == 2.0
    assert "half" in rows["bag weight"]
    assert f"{limiting.HEAD_ROOM:.0%}".replace("%", " %") in rows["head room"]
    assert f"{limiting.ENOUGH_YEAST:.0%}".replace("%", " %") in rows["yeast count"]


def test_every_toml_block_is_part_of_a_file_that_would_be_read() -> None:
    readers = (read_plan, read_brewery, read_readings, read_wish, read_larder)
    for block in re.findall(r"```toml\n(.*?)```", MANUAL, re.DOTALL):
        assert any(_knows_every_key(read, block) for read in readers), block


def _knows_every_key(read: Callable[..., object], part: str) -> bool:
    """Whether a part of a file is refused for what it lacks at most, not for a key nobody knows."""
    try:
        read(part, where="page")
    except Refused as refused:
        return not any("not known" in str(problem) for problem in refused.problems)
    return True


def test_the_picture_of_the_run_shows_the_example_gyle() -> None:
    svg = ElementTree.parse(ROOT / "docs" / "pictures" / "run.svg").getroot()
    words = " ".join(svg.itertext())

    assert svg.tag.endswith("svg")
    for name in ("Orchard amber", "Gate amber", "Hedge amber", "Loft amber", "second pot"):
        assert name in words
