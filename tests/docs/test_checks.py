"""The record of checks tells what was checked, on any machine, and is stale only when that changes."""

from __future__ import annotations

import re

import pytest

from checks import Check
from checks_page import Row, differs, page

WATER = Row("world", "iapws-95", "density of water", "kg/m³", "20 °C", 998.2041, 998.207, 0.02, "0.02")


@pytest.fixture
def rows() -> list[Row]:
    return []


def test_a_value_that_holds_is_written_down_and_one_that_does_not_fails(rows: list[Row]) -> None:
    check = Check(rows)

    check("density", [998.2, 998.3], [998.21, 998.29], within=0.02, unit="kg/m³", source="iapws-95")
    with pytest.raises(pytest.fail.Exception, match=r"density at 20 °C is 998\.2, but iapws-95 has 998\.3"):
        check("density", 998.2, 998.3, within=0.02, unit="kg/m³", at="20 °C", source="iapws-95")

    assert [row.got for row in rows] == [998.2, 998.3]


@pytest.mark.parametrize("got", [float("nan"), 103.1, 96.9])
def test_the_greater_of_two_tolerances_counts(got: float, rows: list[Row]) -> None:
    Check(rows)("a colour", 102.9, 100.0, within=0.1, rel=0.03, unit="SRM", source="morey-colour")

    with pytest.raises(pytest.fail.Exception, match="a colour is"):
        Check(rows)("a colour", got, 100.0, within=0.1, rel=0.03, unit="SRM", source="morey-colour")


def test_a_range_is_held_at_both_ends(rows: list[Row]) -> None:
    Check(rows).between("iso lost", 0.25, 0.2, 0.3, source="kappler-2010")

    for got in (0.2, 0.3, float("nan")):
        with pytest.raises(pytest.fail.Exception, match=r"iso lost is .* kappler-2010 has 0\.25 ± 0\.05"):
            Check(rows).between("iso lost", got, 0.2, 0.3, source="kappler-2010")


def test_no_check_leans_on_hearsay_or_on_no_tolerance(rows: list[Row]) -> None:
    with pytest.raises(ValueError, match="no source 'hearsay'"):
        Check(rows)("density", 1.0, 1.0, within=0.1, source="hearsay")
    with pytest.raises(ValueError, match="say within or rel"):
        Check(rows)("density", 1.0, 1.0, source="iapws-95")
    assert rows == []


def test_another_machine_in_another_order_makes_no_page_stale() -> None:
    others = [WATER._replace(at=f"{at} °C", expected=990.0 + at) for at in range(100)]
    told = [WATER, WATER._replace(what="latent heat"), *others]
    elsewhere = [row._replace(got=row.got - 0.001) for row in reversed(told)]

    assert page(told) != page(elsewhere)
    assert differs(page(told), page(elsewhere)) == ""


@pytest.mark.parametrize(
    "change",
    [{"expected": 998.3}, {"within": "0.03"}, {"at": "21 °C"}, {"source": "kell-1975"}, {"kind": "practice"}],
)
def test_another_check_makes_the_page_stale(change: dict[str, object]) -> None:
    assert differs(page([WATER]), page([WATER._replace(**change)]))  # type: ignore[arg-type]


def test_values_are_told_to_a_tenth_of_their_tolerance() -> None:
    line = next(line for line in page([WATER]).splitlines() if line.startswith("| density"))

    assert line == "| density of water, 20 °C [kg/m³] | 998.207 | 998.204 | −0.003 | 0.02 |"


def test_what_only_catches_slips_does_not_count() -> None:
    text = page([WATER, WATER._replace(kind="slip"), WATER._replace(kind="practice")])

    assert re.search(r"\*\*1 values from 1 sources\*\*.*\. 1 are checked against common.*1 more only", text)
