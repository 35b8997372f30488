"""No text, however odd, ends in anything but an answer or a refusal."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from exchange.example_files import AMBER, FIXED, text_of
from gylebook.errors import Refused
from gylebook.exchange.brewery_file import brewery_schema, read_brewery
from gylebook.exchange.plan_file import plan_schema, read_plan
from gylebook.exchange.readings_file import read_readings

READERS = {"plan": read_plan, "brewery": read_brewery, "readings": read_readings}
TEXTS = {
    "plan": text_of(AMBER / "plan.toml"),
    "brewery": text_of(AMBER / "brewery.toml"),
    "readings": text_of(AMBER / "readings.toml"),
    "treated plan": text_of(FIXED / "plan.toml") + text_of(FIXED / "liquor.toml"),
    "watered brewery": text_of(FIXED / "brewery.toml") + text_of(FIXED / "water.toml"),
}
ODD = st.sampled_from(
    ["nan", "-inf", "0x" + "f" * 5000, "1e400", "-1", "true", '""', "[]", "{}", "[[1]]", "{ a = { b = 1 } }",
     "1979-05-27", "'34 L'", '"nan"', '"1e5 L"', '"-5 °C"', '"Z̸͎͠"', '"1,500 kg"', '"½ kg"', "34 L",
     '"' + "9" * 50 + ' L"']
)  # fmt: skip


def take(read, text):
    """Read a text; a refusal names the file and says what would be accepted."""
    told = []
    try:
        read(text, where="file.toml")
    except Refused as refused:
        told = refused.problems
    assert all(problem.where.startswith("file.toml") and problem.accepted for problem in told)


@pytest.mark.parametrize("name", TEXTS)
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_value_in_any_place_is_taken_or_refused(name, data):
    lines = TEXTS[name].split("\n")
    places = [n for n, line in enumerate(lines) if "=" in line and not line.startswith("#")]
    for at in data.draw(st.lists(st.sampled_from(places), min_size=1, max_size=3)):
        lines[at] = f"{lines[at].split('=')[0]}= {data.draw(ODD)}"

    take(READERS[name.rpartition(" ")[2]], "\n".join(lines))


@pytest.mark.parametrize("name", TEXTS)
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_line_left_out_or_doubled_is_taken_or_refused(name, data):
    lines = TEXTS[name].split("\n")
    at = data.draw(st.integers(0, len(lines) - 1))
    times = data.draw(st.sampled_from([0, 2]))

    take(READERS[name.rpartition(" ")[2]], "\n".join([*lines[:at], *[lines[at]] * times, *lines[at + 1 :]]))


@pytest.mark.parametrize("name", READERS)
@settings(max_examples=60, deadline=None)
@given(data=st.one_of(st.binary(max_size=200), st.text(max_size=200)))
def test_any_bytes_are_taken_or_refused(name, data):
    take(READERS[name], data)


def keys_in(schema, part):
    """The keys that a part of a schema allows, found through its references."""
    while "$ref" in part or "anyOf" in part:  # a table that has a short form stands first
        part = part["anyOf"][0] if "anyOf" in part else part
        part = schema["$defs"][part["$ref"].rsplit("/", 1)[1]]
    return part


def _any_key(part):
    """What a table of things by their key holds."""
    patterns = part.get("patternProperties")
    return next(iter(patterns.values())) if patterns else part["additionalProperties"]


def every_key_is_described(schema, part, tables):
    """Walk a file along its schema; each key must be in it, with words."""
    part = keys_in(schema, part)
    for key, value in tables.items():
        inner = part["properties"][key] if "properties" in part else _any_key(part)
        assert inner.get("description") or "properties" not in part
        for table in value if isinstance(value, list) else [value]:
            if isinstance(table, dict):
                items = inner.get("items", inner)
                every_key_is_described(schema, items, table)


@pytest.mark.parametrize(
    ("name", "schema"),
    [
        ("plan", plan_schema()),
        ("brewery", brewery_schema()),
        ("treated plan", plan_schema()),
        ("watered brewery", brewery_schema()),
    ],
)
def test_the_schema_knows_and_describes_every_key_of_the_example(name, schema):
    every_key_is_described(schema, schema, tomllib.loads(TEXTS[name]))


@pytest.mark.parametrize(
    ("schema", "table", "key", "example"),
    [
        (brewery_schema(), None, "stir_room", "5 %"),
        (brewery_schema(), None, "basket", "0.3 L"),
        (brewery_schema(), None, "patience_heat", "90 min"),
        (brewery_schema(), "BagTable", "person", "15 kg"),
        (brewery_schema(), "ChillerTable", "displaces", "0.8 L"),
        (plan_schema(), "PortionTable", "top_up", "2 L"),
        (plan_schema(), "YeastTable", "primary", "6 d"),
        (plan_schema(), "AdditionTable", "time", "10 min"),
        (plan_schema(), "StarterTable", "first_steps", ["0.5 L"]),
        (plan_schema(), "BlendTable", "parts", {"keg": "60 %", "long": "40 %"}),
    ],
)
def test_the_schema_shows_an_example_that_fits_the_key(schema, table, key, example):
    part = schema["$defs"][table] if table else schema

    assert part["properties"][key]["examples"] == [example]


def test_the_schema_shows_defaults_as_they_are_written():
    plan, brewery = plan_schema()["$defs"], brewery_schema()["$defs"]

    assert plan["ProcessTable"]["properties"]["rinse_temperature"]["default"] == "74 °C"
    assert plan["AimsTable"]["properties"]["odds"]["default"] == "90 %"
    assert brewery["FermenterTable"]["properties"]["dead_volume"]["default"] == "0.3 L"
    assert plan["GrainTable"]["properties"]["mass"]["examples"] == ["7.5 kg"]
    assert plan["StarterTable"]["properties"]["slurry"]["default"] == "0.15 L"
    assert "x-unit" not in str(plan_schema()) + str(brewery_schema())
    assert "null" not in str(plan_schema()) + str(brewery_schema())
