"""The tables that ship are complete, sourced and found by their names."""

from __future__ import annotations

import csv
from importlib import resources
from typing import get_args

import pytest

from gylebook.brewery.ingredients import GrainKind
from gylebook.exchange.tables import (
    close_names,
    grain_named,
    hop_named,
    plain,
    slug,
    sugar_named,
    yeast_named,
)

FIND = {"malts": grain_named, "sugars": sugar_named, "yeasts": yeast_named, "hops": hop_named}
SIZE = {"malts": 49, "sugars": 21, "yeasts": 27, "hops": 80}


def rows(table):
    text = resources.files("gylebook.data").joinpath(f"{table}.csv").read_text(encoding="utf-8")
    return text.splitlines()[0], list(csv.DictReader(text.splitlines()[1:]))


@pytest.mark.parametrize("table", FIND)
def test_every_table_and_every_row_names_its_source(table):
    first, found = rows(table)

    assert first.startswith("# source: ")
    assert len(found) == SIZE[table]
    assert all(row["source"] for row in found)


@pytest.mark.parametrize("table", FIND)
def test_every_row_is_found_by_its_name_its_key_and_its_other_names(table):
    for row in rows(table)[1]:
        names = [row["name"], row["name"].upper(), row["key"], *filter(None, row["also"].split("|"))]
        assert {FIND[table](name).key for name in names} == {row["key"]}


@pytest.mark.parametrize("table", FIND)
def test_no_two_rows_go_by_the_same_name(table):
    names = [
        plain(name)
        for row in rows(table)[1]
        for name in {plain(n) for n in (row["name"], row["key"], *row["also"].split("|")) if n}
    ]
    assert len(names) == len(set(names))


def test_every_grain_is_of_a_known_kind_and_can_be_mashed():
    for row in rows("malts")[1]:
        grain = grain_named(row["name"])
        assert grain.kind in get_args(GrainKind)
        assert 0.5 < grain.extract_dry < 0.95
        assert 0.02 < grain.moisture <= 0.13
        assert grain.extract_scatter == (0.01 if grain.kind == "base" else 0.02)
        assert 0 < grain.colour_ebc < 1500


def test_raw_flaked_and_torrefied_grain_holds_more_wort():
    # hot-side reference 2.1: wheat, rye, oats flaked hold 0.15 L/kg more (common practice)
    assert grain_named("torrefied wheat").holds_more_l_per_kg == 0.15
    assert grain_named("rye malt").holds_more_l_per_kg == 0.15
    assert grain_named("Pilsner malt").holds_more_l_per_kg == 0.0


def test_sugar_yields_its_published_extract():
    # 21 CFR 168.140: maple syrup has 66 to 68.9 °Brix.  Monohydrate: 180.16/198.17 = 91 % glucose.
    assert 0.66 <= sugar_named("maple syrup").extract <= 0.689
    assert sugar_named("brewing sugar").extract == pytest.approx(
        180.16 / 198.17, abs=0.002
    )  # printed as 91 %
    assert sugar_named("lactose").fermentable == 0


def test_yeasts_ferment_between_their_temperatures():
    for row in rows("yeasts")[1]:
        yeast = yeast_named(row["key"])
        assert 0 < yeast.low_c < yeast.high_c < 45
        assert 0.6 < yeast.attenuation <= 1
        assert yeast.pitch_million_per_ml_plato > 0
        assert yeast.days > 0


def test_the_alpha_of_a_hop_scatters_by_a_quarter_of_its_range():
    # USDA-ARS record 21077: Saaz 2.8 to 6.6 %.
    saaz = hop_named("Saaz")

    assert saaz.alpha == pytest.approx(0.047)
    assert saaz.alpha_scatter == pytest.approx((0.066 - 0.028) / 4)


def test_accents_and_commas_do_not_hide_a_name():
    assert yeast_named("kolsch") is yeast_named("Kölsch")
    assert grain_named("Munich malt light") is grain_named("munich malt, light")


@pytest.mark.parametrize(
    ("table", "typed", "meant"),
    [
        ("malts", "Pislner malt", "Pilsner malt"),
        ("malts", "munich", "Munich malt, light"),
        ("hops", "Sazz", "Saaz"),
        ("yeasts", "Brett secondary", "Brettanomyces secondary"),
    ],
)
def test_a_slip_of_the_pen_is_answered_with_what_was_meant(table, typed, meant):
    assert FIND[table](typed) is None
    assert meant in close_names(table, typed)


def test_a_name_like_nothing_is_like_nothing():
    assert close_names("malts", "xyzzy") == ()


def test_a_key_is_made_of_plain_letters():
    assert slug("Brewer's Gold (whole)") == "brewers-gold-whole"
    assert slug("…") == "unnamed"
