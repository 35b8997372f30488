"""A brewery tells its waters by their reports, or by the membrane that makes them."""

from __future__ import annotations

import pytest

from exchange.example_files import FIXED, refusal, text_of
from gylebook.brewery.water import ReportLine, Water
from gylebook.exchange.brewery_file import brewery_schema, read_brewery
from gylebook.exchange.models_brewery import LEAST_STEP, MOST_STEP
from gylebook.exchange.models_water import ReportTable, Told
from gylebook.process.salts import weighed
from gylebook.process.water_report import UNITS

SHED = text_of(FIXED / "brewery.toml")
MAINS = text_of(FIXED / "water.toml")
SOFT = """
[waters.soft]
membrane_of = "mains"
chloramine = false
"""


def read(more, first=""):
    return read_brewery(f"{first}\n{SHED}{more}", where="brewery.toml")


def refused(more, first=""):
    return refusal(read_brewery, f"{first}\n{SHED}{more}", "brewery.toml")


def test_a_report_is_kept_in_the_units_it_was_written_in():
    shed = read(MAINS)

    assert shed.waters["mains"] == Water(
        key="mains",
        name="Mains",
        report=(
            ReportLine(what="ph", value=7.6),
            ReportLine(what="alkalinity", value=180.0, unit="mg/L CaCO3"),
            ReportLine(what="hardness", value=12.0, unit="°dH"),
            ReportLine(what="calcium", value=80.0, unit="mg/L"),
            ReportLine(what="sulphate", value=12.0, unit="mg/L S"),
        ),
        scatter=0.08,
        chlorine_mg_per_l=0.5,
    )


def test_the_only_water_is_drawn_without_being_named():
    assert read(MAINS).water == "mains"
    assert read("").water is None


def test_a_membrane_makes_a_water_of_another():
    shed = read(MAINS + SOFT, 'water = "soft"')

    assert shed.water == "soft"
    assert shed.waters["soft"] == Water(
        key="soft", name="soft", membrane_of="mains", passed=0.04, chloramine=False
    )


def test_the_finest_scale_and_measure_are_told_in_any_unit():
    shed = read("", 'weighs_to = "0.00001 kg"\nmeasures_to = "0,5 mL"')

    assert (shed.weighs_to_g, shed.measures_to_ml) == (0.01, 0.5)
    assert (read("").weighs_to_g, read("").measures_to_ml) == (0.1, 0.1)


@pytest.mark.parametrize("step", [LEAST_STEP, MOST_STEP])
def test_a_dose_can_be_shown_on_every_scale_and_measure_that_a_file_takes(step):
    shed = read("", f'weighs_to = "{step:g} g"\nmeasures_to = "{step:g} mL"')

    for its in (shed.weighs_to_g, shed.measures_to_ml):
        assert weighed(3.0 * step, its).grams == pytest.approx(3.0 * step)


@pytest.mark.parametrize("step", ["0.0009", "51", "100"])
def test_a_step_that_no_dose_can_be_shown_on_is_refused_of_scale_and_measure_alike(step):
    told = refused("", f'weighs_to = "{step} g"\nmeasures_to = "{step} mL"')

    assert "weighs_to lies from 0.001 to 50 g" in told
    assert "measures_to lies from 0.001 to 50 mL" in told


def test_a_report_takes_what_the_chemistry_reads_and_no_more():
    taken = {}
    for name, field in ReportTable.model_fields.items():
        told = [note for note in field.metadata if isinstance(note, Told)]
        if told:
            taken[name.replace("_", " ")] = set(told[0].units)

    assert taken == {what: set(units) for what, units in UNITS.items()}
    assert set(ReportTable.model_fields) - {what.replace(" ", "_") for what in taken} == {"ph"}


@pytest.mark.parametrize(
    ("written", "meq"),
    [
        # Definitions: a German degree is 10 mg/L of CaO, 56.077 g/mol; CaCO3 takes up two of acid.
        ("10 °KH", 3.5665),
        ("10 KH", 3.5665),
        ("10 dKH", 3.5665),
        ("2.5 mmol/L HCO3", 2.5),
        ("2.5 mmol/L", 2.5),
        ("1.2 mmol/L as CaCO3", 2.4),
    ],
)
def test_an_alkalinity_means_the_same_however_a_laboratory_tells_it(written, meq):
    line = read(f'\n[waters.mains.report]\nalkalinity = "{written}"\n').waters["mains"].report[0]

    assert line.value * UNITS["alkalinity"][line.unit] == pytest.approx(meq, rel=1e-4)


def test_a_bicarbonate_in_millimoles_of_itself_stays_what_it_is():
    line = read('\n[waters.mains.report]\nbicarbonate = "2.5 mmol/L HCO3"\n').waters["mains"].report[0]

    assert (line.value, line.unit) == (2.5, "mmol/L")


@pytest.mark.parametrize("name", [name for name in ReportTable.model_fields if name != "ph"])
def test_a_line_of_a_report_is_called_as_the_chemistry_calls_it(name):
    line = read(f'\n[waters.mains]\nreport = {{ {name} = "1 mEq/L" }}\n').waters["mains"].report[0]

    assert line == ReportLine(what=name.replace("_", " "), value=1.0, unit="mEq/L")
    assert line.what in UNITS


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('alkalinity = "180 mg/L"',
         "waters.mains.report.alkalinity: “180 mg/L” is understood as 180 mg/L; milligrams of what? Write "
         "mg/L CaCO3, mg/L HCO3 or mg/L Ca; here alkalinity is wanted"),
        ('calcium = "1,500 mg/L"', "either 1.5 mg/L or 1500 mg/L; which?"),
        ('calcium = "-5 mg/L"', "understood as -5 mg/L; no water holds less than nothing"),
        ('calcium = "nan mg/L"', "“nan mg/L” is not a number with a unit"),
        ("calcium = nan", "nan is not a quantity"),
        ("calcium = 80", '80 without quotes has no unit; write it in quotes with its unit: calcium ='),
        ('calcium = "80 mg/L Mg"', "understood as 80 mg/L Mg; here calcium is wanted, told in mg/L, mmol/L"),
        ('sodium = "3 °dH"', "understood as 3 °dH; here sodium is wanted, told in mg/L, mmol/L or mEq/L"),
        ('carbonate_hardness = "9 mg/L"', "here carbonate hardness is wanted"),
        ('sulfate = "12 mg/L"', "the key “sulfate” is not known here; did you mean “sulphate”?"),
        ('ph = "15"', "a pH lies from 0 to 14"),
        ('ph = "-1"', "waters.mains.report.ph: “-1” is understood as -1 pH"),
        ('ph = "nan"', "“nan” is not a number with a unit"),
        ("", "waters.mains.report: an empty report; give what it tells"),
    ],
)  # fmt: skip
def test_what_no_report_can_say_is_refused_with_its_line(line, words):
    text = f"{SHED}\n[waters.mains]\n[waters.mains.report]\n{line}\n"

    told = refusal(read_brewery, text, "brewery.toml")

    at = text.split("\n").index(line or "[waters.mains.report]") + 1
    assert told.startswith(f"brewery.toml line {at}, waters.mains.report")
    assert words in told


@pytest.mark.parametrize(
    ("more", "first", "words"),
    [
        (MAINS + SOFT, "",
         "water: 2 waters, and none is named; name the one that is drawn where a plan names none: one of "
         "“mains”, “soft”."),
        (MAINS, 'water = "main"', "there is no water “main”; did you mean “mains”? Known: “mains”."),
        (MAINS + SOFT.replace('"mains"', '"well"'), 'water = "soft"',
         "waters.soft.membrane_of: there is no water “well”; Known: “mains”."),
        (MAINS + SOFT.replace('"mains"', '"soft"'), 'water = "soft"',
         "waters.soft.membrane_of: made of itself; name a water that has one: “mains”."),
        (MAINS + SOFT + SOFT.replace("soft", "softer").replace("mains", "soft"), 'water = "soft"',
         "waters.softer.membrane_of: made of “soft”, which has no report"),
        (MAINS.replace('scatter = "8 %"', 'membrane_of = "mains"'), "",
         "waters.mains.report: both a report and membrane_of"),
        ('[waters.mains]\nname = "Mains"\n', "", "waters.mains: neither a report nor membrane_of"),
        (MAINS.replace('scatter = "8 %"', 'passed = "4 %"'), "",
         "waters.mains.passed: passed without a membrane"),
        (MAINS.replace("0.5 mg/L", "50 mg/L"), "",
         "“50 mg/L as Cl2” understood as 50 mg/L; chlorine lies from 0 to 20 mg/L."),
        ("".join(MAINS.replace("mains", f"w{n}") for n in range(21)), 'water = "w0"', "at most 20 are taken"),
        ("", 'weighs_to = "1 kg"', "weighs_to lies from 0.001 to 50 g"),
    ],
)  # fmt: skip
def test_waters_that_lead_nowhere_are_refused(more, first, words):
    assert words in refused(more, first)


def test_the_schema_tells_of_a_report_in_its_units():
    report = brewery_schema()["$defs"]["ReportTable"]["properties"]["sulphate"]

    assert report["$comment"] == "in mg/L, mmol/L, mEq/L, mg/L S"
    assert brewery_schema()["$defs"]["WaterTable"]["properties"]["chlorine"]["default"] == "0 mg/L"
