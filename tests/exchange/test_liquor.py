"""A plan tells what its liquor is made of, what it should hold and what goes in."""

from __future__ import annotations

import contextlib
from dataclasses import replace

import pytest

from exchange.example_files import FIXED, changed, refusal, text_of
from gylebook.brewery.plan import Liquor
from gylebook.brewery.water import Dose, IonAim
from gylebook.errors import Refused
from gylebook.exchange.models_liquor import MOST_SALTS
from gylebook.exchange.models_water import ALKALINITY
from gylebook.exchange.plan_file import plan_schema, read_plan, write_plan
from gylebook.exchange.substances import ALKALINE, ALKALIS, SOURS_AS, acids, found, salts, usually_sours_as
from gylebook.exchange.tables import SHIPPED
from gylebook.matter.solution import Solution
from gylebook.process.acid_doses import ACIDS
from gylebook.process.malt_ph import MALTS, grist_of
from gylebook.process.mash_ph import Mash, alkali_for_mash
from gylebook.process.salt_doses import MOST_SALTS as MOST_TRIED
from gylebook.process.salts import SALTS, totals_per_mole
from gylebook.process.water_report import UNITS

PLAN = text_of(FIXED / "plan.toml")
TREATED = text_of(FIXED / "liquor.toml")


def read(more, *changes):
    return read_plan(changed(PLAN, *changes) + more, where="plan.toml")


def refused(more, *changes):
    return refusal(read_plan, changed(PLAN, *changes) + more, "plan.toml")


def dosed(of, into, amount):
    return f'\n[[doses]]\nof = "{of}"\ninto = "{into}"\namount = {amount}\n'


def test_the_liquor_is_read_in_the_units_of_its_nouns():
    liquor = read(TREATED).liquor

    assert liquor == Liquor(
        waters=(("mains", 0.6), ("soft", 0.4)),
        ions=(
            IonAim(ion="calcium", mg_per_l=100.0),
            IonAim(ion="sulphate", mg_per_l=150.0, least=100.0, most=250.0),
        ),
        rinse_ions=(IonAim(ion="calcium", mg_per_l=60.0),),
        salts=("gypsum", "calcium-chloride"),
        acid="phosphoric-10",
        alkali="slaked-lime",
        rinse_alkalinity=pytest.approx(25 / 50.043),  # half the molar mass of calcium carbonate
        against_chlorine="sodium metabisulphite",
        doses=(
            Dose(of="gypsum", kind="salt", into="mash", amount=8.0),
            Dose(of="lactic-88", kind="acid", into="held back", amount=10.0),
            Dose(of="citric-100", kind="acid", into="kettle", amount=2.0),
        ),
    )


@pytest.mark.parametrize("unit", ALKALINITY)
def test_the_alkalinity_left_in_the_rinse_is_told_in_every_unit_of_a_report(unit):
    left = read(f'\n[liquor]\nrinse_alkalinity = "0.5 {unit}"\n').liquor.rinse_alkalinity

    assert left == pytest.approx(0.5 * UNITS["alkalinity"][unit], rel=1e-12)


def test_a_plan_that_says_nothing_of_its_water_asks_nothing_of_it():
    assert read("").liquor == Liquor()
    assert read("").aims.mash_ph is None


def test_treated_liquor_is_written_and_read_back():
    plan = read(TREATED)

    written = write_plan(plan)

    assert read_plan(written, where="written") == plan
    assert 'salts = ["gypsum", "calcium chloride"]' in written
    assert 'sulphate = { aim = "150 mg/L", least = "100 mg/L", most = "250 mg/L" }' in written
    assert 'of = "lactic acid 88 %"\ninto = "held back"\namount = "10 mL"' in written


def test_a_plan_without_wishes_writes_none_down():
    written = write_plan(read(""))

    assert all(word not in written for word in ("acid", "salts", "alkali", "doses", "mash_ph", "chlorine"))


def test_no_alkali_and_no_salts_may_be_at_hand():
    plan = read('\n[liquor]\nalkali = "none"\nsalts = []\n')

    assert (plan.liquor.alkali, plan.liquor.salts) == ("", ())
    assert read_plan(write_plan(plan), where="written") == plan


@pytest.mark.parametrize("name", ["gypsum", "Gypsum", "calcium sulfate", "GYPSUM"])
def test_a_salt_goes_by_any_of_its_names(name):
    assert read(dosed(name, "mash", '"8 g"')).liquor.doses[0].of == "gypsum"


@pytest.mark.parametrize(
    ("name", "strengths"),
    [
        ("lactic acid", "lactic acid 80 % or lactic acid 88 %"),
        ("Phosphoric acid", "phosphoric acid 10 %, phosphoric acid 75 % or phosphoric acid 85 %"),
        ("muriatic acid", "hydrochloric acid 10 %, hydrochloric acid 31.45 % or hydrochloric acid 37 %"),
        ("hydrochloric acid", "hydrochloric acid 10 %, hydrochloric acid 31.45 % or hydrochloric acid 37 %"),
        ("sulfuric acid", "sulphuric acid 10 % or sulphuric acid 96 %"),
    ],
)
def test_an_acid_without_its_strength_is_asked_about(name, strengths):
    at_hand = refused(f'\n[liquor]\nacid = "{name}"\n')
    in_a_dose = refused(dosed(name, "mash", '"8 mL"'))

    assert f"which? {strengths}." in at_hand
    assert f"which? {strengths}." in in_a_dose


@pytest.mark.parametrize("every", [salts(), acids()])
def test_every_salt_and_acid_is_found_by_its_own_name_and_key(every):
    for key, substance in every.items():
        assert found(substance.name, every.values()) == found(key, every.values()) == substance


def test_every_salt_and_acid_of_the_chemistry_can_be_named():
    assert set(salts()) == set(SALTS)
    assert set(acids()) == set(ACIDS)
    assert {key for key, acid in acids().items() if not acid.poured} == {
        key for key, acid in ACIDS.items() if acid.percent == 100.0
    }


def test_a_plan_names_as_many_salts_as_can_be_tried():
    assert MOST_SALTS == MOST_TRIED


def test_every_alkali_that_may_be_named_raises_a_mash():
    mash = Mash(grist_of([5.0], [MALTS["pale"]]), 15.0, Solution())

    able = set()
    for key in SALTS:
        with contextlib.suppress(Refused):  # which is how the chemistry says no
            alkali_for_mash(mash, 5.8, key)
            able.add(key)

    assert able == set(ALKALIS)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (dosed("gypsum", "mash", '"8 mL"'),
         "doses[1].amount: “8 mL” of gypsum; gypsum is weighed: write g, such as “8 g”."),
        (dosed("lactic acid 88 %", "mash", '"8 g"'),
         "“8 g” of lactic acid 88 %; lactic acid 88 % is poured: write mL, such as “10 mL”."),
        (dosed("citric acid", "mash", '"8 mL"'), "citric acid, crystals is weighed: write g"),
        (dosed("citric acid 50 %", "mash", '"8 g"'), "citric acid 50 % is poured: write mL"),
        (dosed("gypsum", "mash", '"8"'), "“8” is a number without a unit"),
        (dosed("gypsum", "mash", "8"), '8 without quotes has no unit; write it in quotes with its unit: '),
        (dosed("gypsum", "mash", '"1.2 kg"'), "understood as 1200 g; amount lies from 0.001 to 1000 g"),
        (dosed("gypsum", "mash", '"0 g"'), "amount lies from 0.001 to 1000 g"),
        (dosed("lactic acid 88 %", "mash", '"2.5 L"'),
         "understood as 2500 mL; amount lies from 0.001 to 2000 mL"),
        (dosed("gypsun", "mash", '"8 g"'),
         "doses[1].of: there is no salt or acid “gypsun”; did you mean “gypsum”? Known: “gypsum”, "),
        (dosed("gypsum", "boil", '"8 g"'), "One of mash, held back, rinse, kettle is wanted"),
        ('\n[liquor]\nacid = "vinegar"\n', "liquor.acid: there is no acid “vinegar”; Known: “lactic"),
        ('\n[liquor]\nalkali = "chalk"\n',
         "liquor.alkali: “chalk” as alkali; known: “baking soda”, “slaked lime”, or “none”."),
        ('\n[liquor]\nsalts = ["gypsum", "calcium sulphate"]\n', "liquor.salts[2]: “gypsum” stands twice"),
        ('\n[liquor]\nsalts = ["gypsum", "sand"]\n', "liquor.salts[2]: there is no salt “sand”; "),
        (f"\n[liquor]\nsalts = {['gypsum'] * 10}\n", "at most 9 are taken"),
        ('\n[liquor]\nagainst_chlorine = "boiling"\n', "One of potassium metabisulphite, sodium metabisulph"),
        ('\n[liquor]\nrinse_alkalinity = "25 mg/L"\n', "milligrams of what? Write mg/L CaCO3, mg/L HCO3"),
        ('\n[liquor.waters]\nmains = "60 %"\nsoft = "30 %"\n',
         "liquor.waters: the shares add to 90 %; they add to 100 %, to half a per cent."),
        ('\n[liquor.ions]\npotassium = "10 mg/L"\n', "Known are calcium, magnesium, sodium, chloride, sul"),
        ('\n[liquor.ions]\ncalcium = "2 mmol/L"\n',
         "liquor.ions.calcium: “2 mmol/L” is understood as 2 mmol/L; here calcium is wanted, told in mg/L."),
        ('\n[liquor.ions]\nsulphate = "50 mg/L as S"\n', "understood as 50 mg/L S"),
        ('\n[liquor.ions]\ncalcium = "9000 mg/L"\n', "calcium lies from 0 to 2000 mg/L."),
        ("\n[liquor.ions]\ncalcium = 100\n", '100 without quotes has no unit; write it in quotes with '),
        ('\n[liquor.ions]\ncalcium = { least = "50 mg/L" }\n', "liquor.ions.calcium.aim: missing; what is"),
        ('\n[liquor.ions]\ncalcium = { aim = "100 mg/L", max = "2 g/L" }\n', "Known are aim, least, most."),
        ('\n[liquor.ions]\ncalcium = { aim = "100 mg/L", least = "150 mg/L" }\n',
         "liquor.ions.calcium.least: least 150 mg/L of an aim of 100; the aim lies between both."),
        ('\n[liquor.ions]\ncalcium = { aim = "100 mg/L", most = "50 mg/L" }\n',
         "liquor.ions.calcium.most: most 50 mg/L of an aim of 100; the aim lies between both."),
    ],
)  # fmt: skip
def test_a_slip_in_the_liquor_is_refused_with_what_would_be_accepted(more, words):
    assert words in refused(more)


@pytest.mark.parametrize("name", ["baking soda", "sodium bicarbonate", "slaked lime", "chalk"])
def test_no_alkali_is_taken_for_an_ion_but_each_may_be_dosed(name):
    told = refused(f'\n[liquor]\nsalts = ["gypsum", "{name}"]\n')

    assert "liquor.salts[2]: “" in told
    assert "for the ions; " in told
    assert "as alkali" in told
    assert read(dosed(name, "kettle", '"2 g"')).liquor.doses[0].kind == "salt"


def test_the_salts_refused_for_ions_are_those_that_make_a_liquor_alkaline():
    alkaline = {key for key, salt in SALTS.items() if totals_per_mole(salt)["alkalinity"] > 0}

    assert alkaline == set(ALKALINE)


@pytest.mark.parametrize(("written", "ph"), [('"5.4"', 5.4), ('"pH 5.4"', 5.4)])
def test_a_mash_is_aimed_at_by_its_ph(written, ph):
    assert read("", ("[aims]", f"[aims]\nmash_ph = {written}")).aims.mash_ph == ph


@pytest.mark.parametrize("written", ["4.5", "6.6", "54"])
def test_no_mash_is_so_sour_or_so_alkaline(written):
    assert "aims.mash_ph: “" in refused("", ("[aims]", f'[aims]\nmash_ph = "{written}"'))


def test_what_a_process_does_not_make_is_not_treated():
    told = refused(
        dosed("gypsum", "rinse", '"8 g"') + '[liquor]\nrinse_alkalinity = "0.5 mEq/L"\n[liquor.rinse_ions]\n'
        'calcium = "60 mg/L"\n',
        ('kind = "dunk rinse"', 'kind = "full volume"'),
    )

    assert "doses[1].into: “rinse”, but full volume has no rinse; put it elsewhere" in told
    assert "liquor.rinse_ions: full volume has no rinse" in told
    assert "liquor.rinse_alkalinity: full volume has no rinse" in told


def test_a_mash_that_there_is_not_gets_no_acid_and_no_ph():
    plan = read(dosed("lactic acid 88 %", "held back", '"8 mL"'), ("[aims]", '[aims]\nmash_ph = "5.4"'))
    extract = replace(plan, process=replace(plan.process, kind="extract only"), grist=(), mash=())

    told = refusal(read_plan, write_plan(extract), "written.toml")

    assert "doses[1].into: “held back”, but extract only has no mash" in told
    assert "aims.mash_ph: extract only has no mash" in told


def test_a_grain_sours_as_the_table_or_else_its_kind_says():
    assert read("").grist[0].sours_as == "vienna"
    own = ('grain = "Vienna malt"', 'grain = "Vienna malt"\nsours_as = "munich dark"\ndistilled_ph = "5.5"')
    grain = read("", own).grist[0]

    assert (grain.sours_as, grain.distilled_ph) == ("munich dark", 5.5)
    kinds = ["base", "malted", "caramel", "roast", "adjunct", "raw"]
    assert [usually_sours_as("no such grain", kind) for kind in kinds] == [
        "pale", "pale", "caramel", "roasted", "unmalted", "unmalted"
    ]  # fmt: skip


def test_the_kinds_of_malt_are_those_of_the_chemistry():
    assert set(SOURS_AS) == {*MALTS, "caramel"}
    assert {usually_sours_as(row.key, row.kind) for row in SHIPPED.rows("malts")} <= set(SOURS_AS)


def test_an_unknown_kind_of_malt_is_answered_with_those_there_are():
    own = ('grain = "Vienna malt"', 'grain = "Vienna malt"\nsours_as = "rosted"')

    assert "did you mean “roasted”? One of pilsner, pale, vienna," in refused("", own)


def test_the_schema_takes_an_ion_in_short_or_with_its_bounds():
    ion = plan_schema()["$defs"]["IonsTable"]["properties"]["calcium"]

    assert ion["anyOf"][0]["$ref"].endswith("IonAimTable")
    assert ion["anyOf"][1]["type"] == "string"


def test_a_purer_water_is_named_with_what_it_is_for():
    wish = '\n[liquor.ions]\nalkalinity = "60 mg/L CaCO3"\n'

    liquor = read(f'\n[liquor]\ndiluted_with = "soft"\n{wish}').liquor

    assert liquor.diluted_with == "soft"
    assert liquor.ions == (IonAim(ion="alkalinity", mg_per_l=60.0),)


def test_a_purer_water_for_nothing_or_twice_is_refused():
    alone = refused('\n[liquor]\ndiluted_with = "soft"\n')
    twice = refused(
        '\n[liquor]\ndiluted_with = "soft"\nwaters = { mains = "60 %", soft = "40 %" }\n'
        'ions = { calcium = "60 mg/L" }\n'
    )

    of_the_rinse = refused('\n[liquor]\ndiluted_with = "soft"\nrinse_ions = { calcium = "60 mg/L" }\n')

    assert "no ion is wanted" in str(alone)
    assert "no ion is wanted" not in of_the_rinse
    assert "ions are wanted of the rinse alone; all liquor is diluted alike" in of_the_rinse
    assert "has a share already" in str(twice)
