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

    told = cli("brew", "read", "--book", book, "one", "mash", "pH 5.55", "--meter", "cooled").out
    adopted = cli("brew", "adopt", "--book", book, "one", "1").out

    assert "Mash pH" in told
    assert "Finish the mash with" in told
    assert "Go on as planned" in told
    assert "within 0.1 of its aim" in adopted


def test_a_hot_sample_asks_how_the_meter_was_used(shed, book):
    assert cli("brew", "start", "--book", book, *FEW, "one", shed / "plan.toml").code in (0, 1)
    hot = ("brew", "read", "--book", book, "one", "mash", "pH 5.2", "--temperature", "64 °C")

    assert "which way was the meter used" in refusal(*hot)
    assert cli(*hot, "--meter", "hot, corrected").code in (0, 1)


def test_a_ph_of_which_nothing_else_is_said_is_asked_about(shed, book):
    assert cli("brew", "start", "--book", book, *FEW, "one", shed / "plan.toml").code in (0, 1)

    assert "not of a sample how warm" in refusal("brew", "read", "--book", book, "one", "mash", "pH 5.5")


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("5.30", "Leave out what was held back"),
        ("5.36", "Go on as planned"),
        ("7.2", "Pour nothing yet"),
        ("4.4", "Pour nothing yet"),
    ],
)
def test_whatever_the_mash_reads_there_is_something_sensible_to_do(shed, value, said):
    changed(shed / "readings.toml", ('value = "5.55"', f'value = "{value}"'))
    text = (shed / "readings.toml").read_text(encoding="utf-8")
    (shed / "readings.toml").write_text(text[: text.index('value = "15.4')].rsplit("[[reading]]", 1)[0])

    for alkali in ("baking soda", "none"):
        plan = shed / "plan.toml"
        with_alkali = plan.read_text(encoding="utf-8").replace(
            "[liquor]", f'[liquor]\nalkali = "{alkali}"', 1
        )
        (shed / "other.toml").write_text(with_alkali, encoding="utf-8")
        told = cli(
            "remedies", shed / "other.toml", *FEW, "-b", shed / "brewery.toml", "-r", shed / "readings.toml"
        )
        assert told.code in (0, 1), told.err
        assert said in told.out
        assert "soda" not in told.out


@pytest.mark.parametrize("value", ["12", "2.0", "9.5"])
def test_a_ph_that_no_mash_has_is_refused_at_once(shed, value):
    changed(shed / "readings.toml", ('value = "5.55"', f'value = "{value}"'))

    assert "4 to 7.5 pH" in refusal("remedies", shed / "plan.toml", *FEW, "-r", shed / "readings.toml")


def test_what_no_salt_can_reach_is_said_with_what_would(shed):
    changed(shed / "plan.toml", ('calcium = "95 mg/L"', 'calcium = "40 mg/L"'))

    told = " ".join(cli("liquor", shed / "plan.toml", *FEW).out.split())

    assert "calcium is" in told
    assert "no salt takes it out" in told


def test_acid_for_the_kettle_comes_with_its_caution(shed):
    with (shed / "plan.toml").open("a", encoding="utf-8") as plan:
        plan.write('\n[[doses]]\nof = "lactic acid 88 %"\ninto = "kettle"\namount = "2 mL"\n')

    steps = cli("order", shed / "plan.toml", *FEW, "--json").json["steps"]
    boil = next(step for step in steps if step["key"] == "heat to the boil")

    assert any("acid" in caution for caution in boil["cautions"])


@pytest.mark.parametrize(
    ("of", "into", "amount", "said"),
    [
        ("hydrochloric acid 37 %", "kettle", "60 mL", "a wort is given"),
        ("lactic acid 88 %", "rinse", "15 mL", "rinse liquor pH"),
        ("lactic acid 88 %", "mash", "60 mL", "mash pH"),
    ],
)
def test_a_dose_that_sours_too_far_is_refused(shed, of, into, amount, said):
    with (shed / "plan.toml").open("a", encoding="utf-8") as plan:
        plan.write(f'\n[[doses]]\nof = "{of}"\ninto = "{into}"\namount = "{amount}"\n')

    assert said in refusal("liquor", shed / "plan.toml", *FEW)


def test_an_acid_that_brings_too_much_of_an_ion_is_named(shed):
    changed(
        shed / "plan.toml",
        ('acid = "lactic acid 88 %"', 'acid = "hydrochloric acid 10 %"'),
        ('chloride = "60 mg/L"', 'chloride = { aim = "60 mg/L", most = "80 mg/L" }'),
    )

    told = " ".join(cli("liquor", shed / "plan.toml", *FEW).out.split())

    assert "In the mash and rinse liquor chloride is" in told
    assert "the acid brings it" in told


def test_without_grain_there_is_kettle_liquor_and_no_mash_ph(shed):
    text = (shed / "plan.toml").read_text(encoding="utf-8")
    tables = text.split("\n\n")
    kept = [t for t in tables if not t.startswith(("[[grist]]", "[[mash]]"))]
    malt = '[[additions]]\nname = "pale dry malt extract"\nmass = "4 kg"\nat = "boil"\ntime = "60 min"'
    plan = "\n\n".join([*kept, malt]).replace('kind = "dunk rinse"', 'kind = "extract only"')
    (shed / "plan.toml").write_text(plan.replace('mash_ph = "5.4"\n', ""), encoding="utf-8")

    told = cli("liquor", shed / "plan.toml", *FEW)

    assert told.code == 0, told.err
    assert "kettle," in told.out
    assert "mash" not in told.out
