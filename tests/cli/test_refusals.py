"""What cannot be used is refused with code 2: what was given, where, and what would be accepted."""

from __future__ import annotations

from pathlib import Path

import pytest

from command_line import FEW, changed, cli, refusal


def refused(shed: Path, *changes: tuple[str, str], of: str = "plan.toml") -> str:
    changed(shed / of, *changes)
    return refusal("forecast", shed / "plan.toml", *FEW)


def test_a_file_that_is_not_there_is_named(shed):
    told = refusal("forecast", shed / "amber.toml")
    assert "amber.toml: cannot be read (no such file or directory)" in told


def test_a_folder_is_not_a_file(shed):
    assert "is a directory" in refusal("forecast", shed)


def test_a_brewery_missing_beside_the_plan_is_named(shed):
    (shed / "brewery.toml").unlink()
    assert f"{shed / 'brewery.toml'}: cannot be read" in refusal("forecast", shed / "plan.toml")


def test_a_line_that_is_not_toml_is_named(shed):
    told = refused(shed, ("[aims]", "[aims"))
    assert "plan.toml" in told
    assert "line 6" in told


def test_bytes_that_are_no_text_are_refused(shed):
    (shed / "plan.toml").write_bytes(b"\xff\xfe\x00name")
    assert "UTF-8" in refusal("forecast", shed / "plan.toml")


def test_a_file_far_too_large_is_refused(shed):
    (shed / "plan.toml").write_bytes(b"# " + b"x" * 1_100_000)
    assert "larger than 1 MB" in refusal("forecast", shed / "plan.toml")


def test_an_unknown_key_is_told_with_its_line_and_the_nearest_one(shed):
    told = refused(shed, ("bitterness = ", "biterness = "))
    assert "line 9" in told
    assert "did you mean “bitterness”?" in told


def test_a_grain_that_no_table_has_is_told_with_the_nearest(shed):
    assert "Did you mean “Vienna malt”" in refused(shed, ("Vienna malt", "Viena malt"))


def test_all_faults_are_told_at_once(shed):
    told = refused(
        shed,
        ('fermenters = "34 L"', 'fermenters = "-3 L"'),
        ('gravity = "1.052"', 'gravity = "52 points"'),
        ('temperature = "66 °C"', 'temperature = "66 kg"'),
        ("bitterness_share", "bitternes_share"),
    )
    for line in (7, 8, 43, 53, 59):
        assert f"line {line}," in told, line


@pytest.mark.parametrize(
    ("old", "new", "understood"),
    [
        ('fermenters = "34 L"', 'fermenters = "0 L"', "0 L"),
        ('fermenters = "34 L"', 'fermenters = "9000 L"', "9000 L"),
        ('fermenters = "34 L"', 'fermenters = "34"', "34"),
        ('fermenters = "34 L"', 'fermenters = "34 kg"', "34 kg"),
        ('fermenters = "34 L"', 'fermenters = "1,500 L"', "which?"),
        ('gravity = "1.052"', 'gravity = "1.250"', "1.25"),
        ('gravity = "1.052"', 'gravity = "0.9"', "0.9"),
        ('odds = "90 %"', 'odds = "110 %"', "110"),
        ('odds = "90 %"', 'odds = "nan"', "nan"),
        ('temperature = "66 °C"', 'temperature = "966 °C"', "966"),
        ('temperature = "66 °C"\ntime = "60 min"', 'temperature = "66 °C"\ntime = "0 min"', "from 1 to 1440"),
        ('alpha = "7.2 %"', 'alpha = "72 %"', "72"),
        ('share = "44 %"', 'share = "84 %"', "share"),
        ('share = "44 %"', 'share = "0 %"', "a portion holds something"),
        ('share = "44 %"', 'volume = "0 L"', "a portion holds something"),
        ('kind = "dunk rinse"', 'kind = "dank rinse"', "dunk rinse"),
        ('fermenter = "wide"', 'fermenter = "squat"', "squat"),
        ('starter = "cool"', 'starter = "warm"', "warm"),
    ],
)
def test_a_value_that_cannot_be_meant_is_refused_as_understood(shed, old, new, understood):
    assert understood in refused(shed, (old, new))


@pytest.mark.parametrize(
    ("old", "new", "understood"),
    [
        ('capacity = "50 L"', 'capacity = "-50 L"', "-50 L"),
        ('power = "3.5 kW"', 'power = "3.5 L"', "3.5 L"),
        ('power = "3.5 kW"', 'power = "0 kW"', "0"),
        ('kettle = "kettle"', 'kettle = "kettel"', "kettel"),
        ('altitude = "210 m"', 'altitude = "21000 m"', "21000"),
        ('kind = "coil"', 'kind = "snake"', "snake"),
    ],
)
def test_a_brewery_that_cannot_be_is_refused_too(shed, old, new, understood):
    assert understood in refused(shed, (old, new), of="brewery.toml")


def test_a_house_figure_unknown_or_impossible_is_refused(shed):
    unknown = '[house."kettle.lost_l"]\nlevel = 1.0\nscatter = 0.1\n'
    impossible = "[house.conversion]\nlevel = 1.2\nscatter = 0.1\n"
    told = refused(shed, ("[bag]", f"{unknown}\n{impossible}\n[bag]"), of="brewery.toml")
    assert "house.kettle.lost_l" in told
    assert "house.conversion" in told


def test_a_reading_at_no_step_or_on_no_instrument_is_refused(shed):
    changed(shed / "readings.toml", ('step = "lift"', 'step = "lft"'), ('"dipstick"', '"dipstik"'))
    told = refusal("forecast", shed / "plan.toml", "-r", shed / "readings.toml", *FEW)
    assert "perhaps “lift” is meant" in told
    assert "“dipstik”" in told


@pytest.mark.parametrize(
    "option",
    [
        ("--draws", "5"),
        ("--draws", "1000000000"),
        ("--draws", "many"),
        ("--seed", "-1"),
        ("--seed", "99999999999999999999999"),
        ("--units", "imperial"),
        ("--lots",),
    ],
    ids=" ".join,
)
def test_an_option_out_of_range_is_refused(shed, option):
    assert option[-1].lstrip("-") in refusal("forecast", shed / "plan.toml", *option).replace(",", "")


@pytest.mark.parametrize("command", [("sheet",), ("solve",)], ids=" ".join)
def test_what_cannot_be_written_leaves_nothing_behind(shed, command):
    for place in (shed / "no such folder" / "out.file", shed):
        before = sorted(shed.iterdir())
        assert "cannot be written" in refusal(*command, shed / "plan.toml", *FEW, "-o", place)
        assert sorted(shed.iterdir()) == before


def test_a_sheet_without_a_place_to_go_is_refused(shed):
    assert "--out" in refusal("sheet", shed / "plan.toml")


def test_the_demo_cannot_go_where_a_file_stands(shed):
    assert "cannot be written" in refusal("demo", "--folder", shed / "plan.toml")


def test_a_schema_of_something_else_is_refused():
    assert "brewery" in refusal("schema", "cheese")


def test_a_plan_too_big_for_its_kettle_is_an_answer_not_an_error(shed):
    changed(shed / "brewery.toml", ('capacity = "50 L"', 'capacity = "32 L"'))
    for command in ("forecast", "limits", "solve", "order"):
        answer = cli(command, shed / "plan.toml", *FEW)
        assert (answer.code, answer.err) == (1, "")
    told = cli("limits", shed / "plan.toml", *FEW).out
    assert "At this gravity the brewery carries " in told
    assert "at 34.0 L, to be 90 in 100 sure, it lacks" in " ".join(told.split())


def test_water_that_is_too_warm_is_no_matter_of_volume(shed):
    brewery = (shed / "brewery.toml").read_text(encoding="utf-8")
    tap = next(line for line in brewery.splitlines() if line.startswith("tap"))
    changed(shed / "brewery.toml", (tap, 'tap = "24 °C"'))
    answer = cli("limits", shed / "plan.toml", *FEW)
    told = " ".join(answer.out.split())
    assert (answer.code, answer.err) == (1, "")
    assert "never done" in told
    assert "with every other limit kept" in told


def test_a_kettle_in_which_nothing_fits_says_so(shed):
    # Five litres of liquor go into the kettle after the boil: a kettle of four litres can hold no plan.
    changed(shed / "brewery.toml", ('capacity = "50 L"', 'capacity = "4 L"'))
    answer = cli("limits", shed / "plan.toml", *FEW)
    assert (answer.code, answer.err) == (1, "")
    assert "at any volume of this beer" in " ".join(answer.out.split())


def test_the_boundary_is_in_the_json_too(shed):
    changed(shed / "brewery.toml", ('capacity = "50 L"', 'capacity = "32 L"'))
    for command in ("limits", "solve"):
        found = cli(command, shed / "plan.toml", *FEW, "--json").json["boundary"]
        assert 0 < found["volume_l"] < found["wanted_l"] == 34
