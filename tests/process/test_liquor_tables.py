"""Hold the tables of names that ship to the salts, acids and malts that the equations know."""

from __future__ import annotations

import csv
from importlib import resources

import pytest

from gylebook.process.acid_doses import ACIDS
from gylebook.process.malt_ph import MALTS, caramel_malt
from gylebook.process.salts import SALTS


def shipped(name: str) -> list[dict[str, str]]:
    text = resources.files("gylebook.data").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()[1:]))


@pytest.mark.parametrize(("table", "known"), [("salts", SALTS), ("acids", ACIDS)])
def test_a_name_of_a_salt_or_an_acid_means_one_or_the_strengths_of_one(table, known):
    rows = shipped(table)
    meant: dict[str, set[str]] = {}
    for row in rows:
        for name in (row["name"], *filter(None, row["also"].split("|"))):
            meant.setdefault(name.casefold(), set()).add(row["key"])

    assert [row["key"] for row in rows if row["key"] not in known] == []
    assert {row["key"] for row in rows} == set(known)
    assert all(meant[row["name"].casefold()] == {row["key"]} for row in rows)
    for keys in (keys for keys in meant.values() if len(keys) > 1):
        assert table == "acids"
        assert len({ACIDS[key].kind for key in keys}) == 1
    assert all(row["source"] for row in rows)


def test_every_malt_that_ships_is_sour_in_some_way():
    kinds = {row["key"]: row["kind"] for row in shipped("malt_ph")}
    malts = {row["key"]: row for row in shipped("malts")}

    assert set(kinds) == set(malts)
    assert set(kinds.values()) == {*MALTS, "caramel"}
    for key in (key for key, kind in kinds.items() if kind == "caramel"):
        assert caramel_malt(float(malts[key]["colour_ebc"])).known[0] > 0.0
