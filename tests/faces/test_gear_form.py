"""The form of a brewery file says what it would change, and nothing more."""

from __future__ import annotations

from pathlib import Path

import pytest

from gylebook.exchange.brewery_file import brewery_schema
from gylebook.faces.gear_form import changes, sheets, shown, taken_out
from gylebook.faces.gear_words import PARTS, field_name
from gylebook.tasks.gear import changes_between

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
TEXT = (EXAMPLE / "brewery.toml").read_text()
SEEN = {change.path: change.after for change in changes_between("", TEXT)}


def as_sent():
    """What a browser sends of the form when nothing was typed."""
    return {asked.name: value for sheet in sheets(SEEN) for row in sheet.rows for asked, value in row.fields}


def test_a_form_sent_back_as_it_came_changes_nothing():
    assert changes(as_sent(), SEEN) == {}


@pytest.mark.parametrize(
    ("path", "typed", "meant"),
    [
        ("vessels.kettle.capacity", "45 L", "45 L"),
        ("vessels.second pot.insulated", "yes", True),
        ("heat_sources.plate.vessels", "second pot,kettle", ["second pot", "kettle"]),
        ("patience_cool", "", None),
        ("chiller.stirred", "no", False),
    ],
)
def test_what_was_typed_is_what_changes(path, typed, meant):
    assert changes({**as_sent(), path: typed}, SEEN) == {path: meant}


def test_what_the_form_does_not_show_is_not_touched():
    sent = {**as_sent(), "house.boil_off_l_per_h.level": "9 L/h", "name": "Barn", "gone": "house\nname"}

    assert changes(sent, SEEN) == {}


def test_a_row_taken_out_is_gone_whole_and_one_added_stands_empty():
    sent = {**as_sent(), "deed": "drop.fermenters.glass", "gone": "vessels.second pot"}
    assert taken_out(sent) == ("vessels.second pot", "fermenters.glass")
    assert not any("glass" in path for path in shown(sent, SEEN))
    assert changes(sent, SEEN) == {"vessels.second pot": None, "fermenters.glass": None}

    sent = {**as_sent(), "deed": "add.waters", "new.waters": " well. "}
    assert shown(sent, SEEN)["waters.well.report.ph"] == ""


def test_every_field_of_the_form_is_one_of_the_file():
    schema = brewery_schema()

    def inside(table, path):
        for part in path.split("."):
            while "$ref" in table or "anyOf" in table:
                if "anyOf" in table:
                    table = next(one for one in table["anyOf"] if one.get("type") != "null")
                else:
                    table = schema["$defs"][table["$ref"].rpartition("/")[2]]
            table = table["properties"][part]

    for part in PARTS:
        for asked in part.fields:
            if part.table:
                rows = schema["properties"][part.table]
                row = rows.get("additionalProperties") or next(iter(rows["patternProperties"].values()))
                inside(row, asked.name)
            else:
                inside(schema, asked.name)


def test_a_change_is_told_in_the_words_of_the_form():
    assert field_name("vessels.second pot.capacity") == "second pot, to the brim"
    assert field_name("bag.hoist") == "hook or hoist carries"
    assert field_name("house.heat.plate.net_share.level") == "house figure heat.plate.net_share, level"
