"""The picture of a backtest shows every reading in its band, and stays inside its frame."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from gylebook.faces.pictures.foreseen import MOST_PANELS, foreseen_picture
from gylebook.faces.pictures.themes import DARK, PAPER, PRINT
from gylebook.faces.words import METRIC, US
from gylebook.tasks.backtest import Backtest, Forecasts, Foreseen, Kind, Step

SVG = "{http://www.w3.org/2000/svg}"


def kind(step: str = "preboil", quantity: str = "volume", unit: str = "L", brews: int = 5, **other) -> Kind:
    """A kind of reading that came half a litre above what was published, and was learned."""
    steps = tuple(
        Step(came=0.5 + 0.1 * n, published_sd=1.4, learned=0.4, learned_sd=0.8) for n in range(brews)
    )
    usual = {
        "published": Forecasts(error=0.7, inside=1.0, spread=1.4),
        "learned": Forecasts(error=0.3, inside=0.9, spread=0.8),
        "steps": steps,
    }
    return Kind(step=step, quantity=quantity, unit=unit, count=brews, **{**usual, **other})


def found(*kinds: Kind, brews: int = 5) -> Backtest:
    """A backtest of these kinds."""
    return Backtest(
        kinds=kinds,
        brews=tuple(Foreseen(brew=f"b{n}", readings=len(kinds), likelier=0.1) for n in range(brews)),
    )


def drawn(*kinds: Kind, **other) -> ElementTree.Element:
    """The picture, as read by a machine."""
    return ElementTree.fromstring(foreseen_picture(found(*kinds), "The shed", **other))


@pytest.mark.parametrize("theme", [PAPER, DARK, PRINT], ids=lambda theme: theme.name)
def test_each_reading_is_a_dot_and_nothing_leaves_the_frame(theme):
    svg = drawn(kind(brews=7), kind("boil end", brews=7), theme=theme)

    assert len([node for node in svg if node.tag == f"{SVG}circle"]) == 14
    _, _, width, height = (float(n) for n in svg.attrib["viewBox"].split())
    for node in svg:
        if node.tag == f"{SVG}path":
            numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", node.attrib["d"])]
            assert all(0 <= x <= width for x in numbers[::2])
            assert all(0 <= y <= height for y in numbers[1::2])


def test_a_reading_above_the_published_forecast_stands_above_its_middle():
    svg = drawn(kind(brews=1))

    (dot,) = (node for node in svg if node.tag == f"{SVG}circle")
    (rule,) = (node for node in svg if node.tag == f"{SVG}line")
    assert float(dot.attrib["cy"]) < float(rule.attrib["y1"])


def test_one_brew_and_a_thousand_can_be_drawn():
    for brews in (1, 1000):
        svg = drawn(kind(brews=brews))
        assert f"{brews:,}" in "".join(svg.itertext())


def test_volumes_and_gravities_come_before_what_else_was_read():
    others = [kind(f"step {n}", "temperature", "°C", brews=9) for n in range(MOST_PANELS)]

    words = "".join(drawn(*others, kind("boil end")).itertext())

    assert "volume at boil end" in words
    assert words.count("temperature at") == 2 * (MOST_PANELS - 1)  # once drawn, once in the description


def test_it_is_told_in_the_brewer_s_units_and_in_words():
    metric, us = ("".join(drawn(kind(), units=units).itertext()) for units in (METRIC, US))

    assert "volume at preboil, L: mean error 0.70 as published, 0.30 as learned." in metric
    assert "volume at preboil, gal: mean error 0.18 as published, 0.08 as learned." in us


def test_an_efficiency_has_no_panel():
    efficiency = kind("efficiency.kettle", "efficiency", "share", steps=())

    assert "efficiency" not in "".join(drawn(kind(), efficiency).itertext())
