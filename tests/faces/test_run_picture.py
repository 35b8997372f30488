"""Look at the run's picture as a machine can: whole, inside its frame, nothing upon anything else."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from xml.etree import ElementTree

import pytest

from example_views import LAYOUTS, about, limit, many, run_view, vessel
from gylebook.faces import words
from gylebook.faces.pictures.run import run_picture
from gylebook.faces.pictures.run_table import run_table, spoken
from gylebook.faces.pictures.themes import DARK, PAPER, PRINT, Theme
from gylebook.faces.words import METRIC, US, Units
from gylebook.tasks.views import RunView

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Box:
    text: str
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        aside = self.right <= other.left or other.right <= self.left
        return not (aside or self.bottom <= other.top or other.bottom <= self.top)


def text_boxes(svg: str) -> list[Box]:
    """Boxes of all texts at half an em a sign, wider in bold, as a serif runs on average."""
    boxes = []
    for node in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        size, text = float(node.attrib["font-size"]), node.text or ""
        width = len(text) * 0.5 * size * (1.08 if node.get("font-weight") else 1.0)
        x, y = float(node.attrib["x"]), float(node.attrib["y"])
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[node.get("text-anchor", "start")] * width
        boxes.append(Box(text, left, y - 0.75 * size, left + width, y + 0.22 * size))
    return boxes


def points(svg: str) -> Iterator[tuple[float, float]]:
    """Corners of all rects and lines, and every coordinate of the ribbons."""
    root = ElementTree.fromstring(svg)
    drawn = [node for node in root if node.tag != f"{SVG}defs"]
    for node in drawn:
        get = {name: float(value) for name, value in node.attrib.items() if re.fullmatch(r"-?[\d.]+", value)}
        if node.tag == f"{SVG}rect":
            x, y = get.get("x", 0.0), get.get("y", 0.0)
            yield from ((x, y), (x + get["width"], y + get["height"]))
        elif node.tag == f"{SVG}line":
            yield from ((get["x1"], get["y1"]), (get["x2"], get["y2"]))
        elif node.tag == f"{SVG}path" and "C" in node.attrib["d"]:
            half = get["stroke-width"] / 2
            numbers = [float(n) for n in re.findall(r"-?[\d.]+", node.attrib["d"])]
            for x, y in zip(numbers[::2], numbers[1::2], strict=True):
                yield from ((x - half, y), (x + half, y))


def check_picture(svg: str) -> None:
    root = ElementTree.fromstring(svg)
    _, _, width, height = (float(n) for n in root.attrib["viewBox"].split())
    boxes = text_boxes(svg)
    for box in boxes:
        assert 0 <= box.left < box.right <= width, box
        assert 0 <= box.top < box.bottom <= height, box
    for x, y in points(svg):
        assert -0.1 <= x <= width + 0.1, (x, y)
        assert -0.1 <= y <= height + 0.1, (x, y)
    assert [(a.text, b.text) for a, b in combinations(boxes, 2) if a.meets(b)] == []


def any_run(seed: int) -> RunView:
    """A run of odd vessels, levels and names; what it says need not make sense."""
    dice = random.Random(seed)
    kettle = dice.uniform(8, 120)
    scale = kettle / 50

    def some_limit(name: str) -> object:
        odds = dice.choice([0.0, 0.3, 0.914, 0.97, 0.9991, 0.9999])
        return dice.choice(
            [None, limit(name, dice.choice(["kettle", "the old copper"]), odds, dice.uniform(-5, 5))]
        )

    def some_vessel(name: str, capacity: float) -> object:
        level = capacity * dice.uniform(0.2, 1.3)
        return vessel(
            name, capacity, level, dice.uniform(0, 0.1) * capacity, some_limit("foam room"), 8 * scale
        )

    return run_view(
        name=" ".join(
            dice.choices(["Amber", "Ångström", "sour", "Weltenburger", "№5"], k=dice.randint(1, 9))
        ),
        portions=many(dice.randint(1, 6)),
        mash=some_vessel("kettle", kettle),
        rinse=dice.choice(
            [None, some_vessel("the second, rather wide pot", kettle * dice.uniform(0.3, 1.2))]
        ),
        boil=some_vessel("kettle", kettle),
        bag_limit=some_limit("bag weight"),
        kettle_liquor_kg=dice.choice([0.0, 2.1 * scale]),
        mash_liquor_kg=34 * scale,
        rinse_liquor_kg=dice.choice([0.0, 12 * scale]),
        first_wort_kg=about(27 * scale, scale),
        steam_kg=about(4.4 * scale, 0.9),
        grain_kg=8.2 * scale,
    )


@pytest.mark.parametrize("theme", [PAPER, DARK, PRINT], ids=lambda theme: theme.name)
@pytest.mark.parametrize("name", LAYOUTS)
def test_nothing_lies_outside_the_frame_or_upon_other_words(name: str, theme: Theme) -> None:
    check_picture(run_picture(LAYOUTS[name](), theme=theme))


@pytest.mark.parametrize("units", [METRIC, US, Units(gravity="°P")], ids=["metric", "US", "Plato"])
@pytest.mark.parametrize("bare", [False, True])
def test_other_units_and_a_bare_picture_have_room_too(units: Units, bare: bool) -> None:
    for make in LAYOUTS.values():
        check_picture(run_picture(make(), units=units, bare=bare))


@pytest.mark.parametrize("seed", range(60))
def test_any_brewery_has_a_picture_without_words_upon_words(seed: int) -> None:
    check_picture(run_picture(any_run(seed)))


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_number_in_the_picture_is_said_in_its_description(name: str) -> None:
    view = LAYOUTS[name]()
    root = ElementTree.fromstring(run_picture(view, bare=True))
    said = root.findtext(f"{SVG}desc") or ""
    shown = " ".join(box.text for box in text_boxes(run_picture(view, bare=True)))

    for figure in re.findall(r"\d[\d.,]*\d|\d", shown):
        assert figure in said or figure in "".join(p.name for p in view.portions), figure


def test_the_table_has_a_row_for_each_level_portion_aim_and_limit() -> None:
    view = run_view()
    rows = run_table(view)
    text = spoken(rows)

    for summary, unit in [(view.boil.level_l, "L"), (view.og, "SG"), (view.portions[2].fg, "SG")]:
        assert words.amount(summary.median, unit) in text
        assert words.interval(summary, unit) in text
    assert sum("margin" in row.what for row in rows) == len(view.limits)
    assert sum(row.where == "aims" for row in rows) == len(view.aims)
    assert {portion.name for portion in view.portions} <= {row.where for row in rows}


def test_a_risk_is_told_by_a_shape_and_words_before_any_colour() -> None:
    root = ElementTree.fromstring(run_picture(run_view()))
    accented = [node for node in root.iter(f"{SVG}text") if node.get("fill") == PAPER.accent]
    texts = [node.text or "" for node in root.iter(f"{SVG}text")]

    assert "▲ foam" in texts or "▲ foam room" in texts
    assert accented
    assert all(node.get("font-weight") == "bold" for node in accented)
    assert not [n for n in root.iter() if n.tag != f"{SVG}text" and PAPER.accent in n.attrib.values()]


def test_vessels_share_one_scale_of_litres_and_ribbons_one_of_kilograms() -> None:
    view = run_view(
        mash=vessel("kettle", 64.0, 32.0, 1.0), rinse=vessel("small pot", 8.0, 4.0, 0.5), portions=many(2)
    )
    svg = run_picture(view)
    walls = [float(w) for w in re.findall(r'<rect x="[\d.]+" y="[\d.]+" width="([\d.]+)"[^>]*rx="4"', svg)]
    liquor = [float(w) for w in re.findall(rf'stroke="{PAPER.liquor}" stroke-width="([\d.]+)"', svg)]

    assert walls[0] == pytest.approx(2 * walls[1], abs=0.15)  # eight times the litres, twice the width
    assert liquor[0] / liquor[1] == pytest.approx(34.0 / 12.0, rel=0.01)  # a tenth of a unit is printed


def test_two_pictures_on_one_page_do_not_share_an_id() -> None:
    ids = [set(re.findall(r' id="([^"]+)"', run_picture(run_view(), key=key))) for key in ("a", "b")]

    assert ids[0]
    assert not ids[0] & ids[1]


def test_the_picture_says_that_it_is_one_and_what_it_shows() -> None:
    root = ElementTree.fromstring(run_picture(LAYOUTS["overflowing"](), key="now"))

    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "now-title now-desc"
    assert "<script>" in (root.findtext(f"{SVG}title") or "")
    assert not [node for node in root.iter() if node.tag in (f"{SVG}script", f"{SVG}foreignObject")]
