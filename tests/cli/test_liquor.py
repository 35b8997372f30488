"""Liquor and water reports are told in words and in JSON, and a reading of the mash pH is answered."""

from __future__ import annotations

import pytest

from command_line import EXAMPLE, FEW, changed, cli, refusal

PLAN = EXAMPLE / "plan.toml"


def test_the_liquor_is_told_with_its_doses_and_where_the_mash_lands():
    told = cli("liquor", PLAN, *FEW).out

    for words in ("as drawn", "calcium", "gypsum", "lactic acid 88 %", "held back", "Within 0.1 of 5.40"):
        assert words in told
    assert "burns skin and eyes" in told
    assert "Rinse liquor: pH" in told


def test_the_liquor_in_json_is_whole_and_in_base_units():
    answer = cli("liquor", PLAN, *FEW, "--json").json

    assert [place["where"] for place in answer["liquors"]] == ["as drawn", "mash", "rinse"]
    assert answer["aim_ph"] == 5.4
    assert {dose["unit"] for dose in answer["doses"]} == {"g", "mL"}
    assert 0.0 < answer["odds_landed"] < 1.0


def test_solving_and_forecasting_tell_the_doses_and_the_mash_ph():
    solved = cli("solve", PLAN, *FEW, "--json").json
    ahead = cli("forecast", PLAN, *FEW, "--json").json

    assert {dose["into"] for dose in solved["amounts"]["doses"]} == {"mash", "held back", "rinse"}
    assert ahead["mash.ph"]["median"] == pytest.approx(5.4, abs=0.01)
    assert "into the mash, held back until its pH is read" in cli("solve", PLAN, *FEW).out


def test_a_solved_plan_is_written_with_its_doses_and_reads_back(shed):
    out = shed / "solved.toml"

    assert cli("solve", shed / "plan.toml", *FEW, "-o", out).code in (0, 1)

    first, again = (cli("liquor", p, *FEW, "--json").json for p in (shed / "plan.toml", out))
    assert first["doses"] == again["doses"]


def test_a_balanced_report_is_said_to_be_and_a_lopsided_one_names_who_may_be_wrong(shed):
    brewery = shed / "brewery.toml"
    assert "Its charges agree" in cli("waters", brewery).out

    changed(
        brewery, ('sulphate = "11 mg/L S"', 'sulphate = "11 mg/L"'), ('"165 mg/L CaCO3"', '"165 mg/L HCO3"')
    )
    told = cli("waters", brewery).out

    assert "do not agree" in told
    assert "bicarbonate may be alkalinity as CaCO3: it would be 165 mg/L as CaCO3" in told
    answer = cli("waters", brewery, "--json").json
    assert answer["waters"][0]["verdict"] == "anions missing"


def test_a_brewery_without_reports_is_told_how_to_add_one(shed):
    text = (shed / "brewery.toml").read_text(encoding="utf-8")
    start, end = text.index('water = "mains"'), text.index("[vessels.kettle]")
    (shed / "brewery.toml").write_text(text[:start] + text[end:], encoding="utf-8")

    assert "No water of this brewery has a report yet" in cli("waters", shed / "brewery.toml").out
    assert "waters" in refusal("liquor", shed / "plan.toml", *FEW)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('ph = "7.5"', 'ph = "15"', "15"),
        ('calcium = "72 mg/L"', 'calcium = "-72 mg/L"', "-72"),
        ('alkalinity = "165 mg/L CaCO3"', 'alkalinity = "165 mg/L"', "mg/L CaCO3"),
        ('calcium = "72 mg/L"', 'calcium = "72 g/L"', "72"),
        ('magnesium = "6 mg/L"', 'hardness = "2 °dH"', "hardness"),
    ],
)
def test_a_report_that_cannot_be_is_refused_with_what_was_understood(shed, old, new, said):
    changed(shed / "brewery.toml", (old, new))

    for told in (refusal("liquor", shed / "plan.toml", *FEW), refusal("waters", shed / "brewery.toml")):
        assert said in told
        assert "waters.mains.report." in told


def test_an_absurd_dose_of_a_strong_acid_is_refused_as_it_was_understood(shed):
    with (shed / "plan.toml").open("a", encoding="utf-8") as plan:
        plan.write('\n[[doses]]\nof = "sulphuric acid 96 %"\ninto = "mash"\namount = "200 mL"\n')

    said = refusal("forecast", shed / "plan.toml", *FEW)

    assert "sulphuric acid 96 %" in said
    assert "mEq for each litre" in said


def test_a_reading_of_the_mash_ph_is_answered_at_once_and_what_finishes_it_adopted(shed, book):
    assert cli("brew", "start", "--book", book, *FEW, "one", shed / "plan.toml").code in (0, 1)

    told = cli("brew", "read", "--book", book, "one", "mash", "pH 5.55").out
    adopted = cli("brew", "adopt", "--book", book, "one", "1").out

    assert "Mash pH" in told
    assert "Finish the mash with" in told
    assert "As planned" in told
    assert "within 0.1 of its aim" in adopted


def test_a_hot_sample_asks_how_the_meter_was_used(shed, book):
    assert cli("brew", "start", "--book", book, *FEW, "one", shed / "plan.toml").code in (0, 1)
    hot = ("brew", "read", "--book", book, "one", "mash", "pH 5.2", "--temperature", "64 °C")

    assert "which way was the meter used" in refusal(*hot)
    assert cli(*hot, "--meter", "hot, corrected").code in (0, 1)
