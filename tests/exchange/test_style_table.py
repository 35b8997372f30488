"""The published ranges that ship: whole, ordered, and found by name."""

from __future__ import annotations

from gylebook.exchange.style_table import close_styles, styles, styles_called


def test_every_range_runs_upwards_and_lies_where_beer_lies():
    most = {"og": (1.005, 1.16), "fg": (0.99, 1.06), "abv": (0.0, 25.0), "ibu": (0.0, 150.0)}
    most["colour_srm"] = (1.0, 100.0)
    for row in styles():
        for quality, (low, high) in row.ranges.items():
            least, top = most[quality]
            assert low is None or least <= low <= top, row.code
            assert high is None or least <= high <= top, row.code
            assert low is None or high is None or low <= high, row.code


def test_gravities_and_alcohol_of_a_style_are_of_one_beer():
    # Alcohol is about 131 % of the fall in gravity; the ranges are of a style, so only their middles agree.
    for row in styles():
        if not row.complete or row.ranges["og"][1] - row.ranges["og"][0] > 0.08:  # nearly any beer
            continue
        og, fg, abv = (sum(row.ranges[q]) / 2.0 for q in ("og", "fg", "abv"))
        assert abs(131.25 * (og - fg) - abv) < max(1.8, 0.2 * abv), row.code


def test_every_style_has_a_code_of_its_own_and_a_source():
    rows = styles()

    assert len(rows) > 200
    assert len({row.code for row in rows}) == len(rows)
    assert {row.source for row in rows} == {"BJCP 2021", "BA 2017"}
    assert all(row.how for row in rows)


def test_a_style_goes_by_code_and_by_name_without_accents_or_case():
    (by_code,) = styles_called("bjcp2021-5b")

    assert by_code in styles_called("KOLSCH")
    assert len(styles_called("oatmeal stout")) == 2
    assert styles_called("no such beer") == ()


def test_a_slip_is_answered_with_what_was_perhaps_meant():
    assert "Oatmeal Stout (BJCP2021-16B)" in close_styles("Oatmeal Stuot")
