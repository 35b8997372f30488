"""A brewer's own tables take the place of the shipped rows, or are refused with every fault at once."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exchange.example_files import FIXED, changed, refusal, text_of
from gylebook.errors import Refused
from gylebook.exchange.plan_file import read_plan, write_plan
from gylebook.exchange.tables import SHIPPED, TABLE_NAMES, read_table, table_text, with_tables

MALTS = """# my maltster's sheets of this autumn
key,name,also,kind,extract_dry_pct,extract_scatter_pct,moisture_pct,colour_ebc,source
vienna-malt,Vienna malt,,base,79.2,0.4,4.0,7.5,lot sheet 4711
barn-malt,"Barn malt, floor",floor malt,base,78.0,1.0,4.8,6,the sack
"""
HOPS = "name,alpha_pct,alpha_low_pct,alpha_high_pct,keeps_pct,source\nHedge hop,3.1,2.5,3.7,40,our garden\n"
OWN = with_tables({"malts": MALTS, "hops": HOPS})
OWN_PLAN = changed(
    text_of(FIXED / "plan.toml"),
    ('"caramel malt, medium"', '"floor malt"'),
    ('"Saaz"\nalpha = "3.4 %"', '"Hedge hop"'),
)


def refused(table, text):
    return refusal(lambda text, where: read_table(table, text, where=where), text, f"{table}.csv")


def test_an_own_row_takes_the_place_of_the_shipped_one_with_its_key():
    own = with_tables({"malts": MALTS})

    assert own.grain("Vienna malt").extract_dry == 0.792
    assert own.grain("floor malt").name == "Barn malt, floor"
    assert own.grain("Pilsner malt") == SHIPPED.grain("Pilsner malt")
    assert len(own.rows("malts")) == len(SHIPPED.rows("malts")) + 1


def test_nobody_else_sees_an_own_row():
    with_tables({"malts": MALTS})

    assert SHIPPED.grain("Vienna malt").extract_dry == 0.805
    assert SHIPPED.grain("Barn malt, floor") is None


def test_a_row_that_is_replaced_still_goes_by_its_old_names():
    own = with_tables({"malts": MALTS.replace("vienna-malt,Vienna malt", "munich-malt-light,Munich I")})

    assert own.grain("Munich malt, light") is own.grain("munich i")


def test_a_plan_is_read_with_the_tables_it_is_given():
    plan = read_plan(OWN_PLAN, where="plan.toml", tables=OWN)

    assert (plan.grist[0].extract_dry, plan.grist[2].key) == (0.792, "barn-malt")
    assert (plan.hops[1].alpha, plan.hops[1].half_year_loss) == (0.031, 0.4)
    told = refusal(read_plan, OWN_PLAN, "plan.toml")
    assert "“floor malt” is not in the table of malts" in told
    assert "“Hedge hop” is not in the table of hops" in told


def test_a_plan_written_with_own_tables_is_read_without_them():
    plan = read_plan(OWN_PLAN, where="plan.toml", tables=OWN)

    assert read_plan(write_plan(plan), where="written") == plan
    assert read_plan(write_plan(plan), where="written", tables=OWN) == plan


def test_a_slip_is_answered_with_own_names_too():
    assert OWN.close_names("malts", "Barn malt, flor")[0] == "Barn malt, floor"


def test_an_own_yeast_says_whether_it_takes_dextrins():
    kinds = "name,attenuation_pct,pitch_million_per_ml_plato,low_c,high_c,days,diastatic,source\n"
    own = with_tables(
        {"yeasts": kinds + "Barn saison,95,0.75,20,30,14,yes,me\nBarn ale,76,0.75,17,22,5,,me\n"}
    )

    assert [own.yeast(name).diastatic for name in ("Barn saison", "Barn ale")] == [True, False]


@pytest.mark.parametrize("table", TABLE_NAMES)
def test_what_ships_is_a_pattern_for_an_own_table(table):
    rows = read_table(table, table_text(table), where=f"{table}.csv")

    assert rows == SHIPPED.rows(table)
    assert with_tables({table: table_text(table)}).rows(table) == rows


def test_every_fault_of_a_table_is_told_at_once_with_its_line():
    told = refused(
        "malts",
        changed(
            MALTS,
            ("base,79.2", 'bass,"79,2"'),
            ("4.0,7.5,lot sheet 4711", "40,7.5,"),
            ('"Barn malt, floor",floor malt', '"Barn malt, floor",Pilsner malt'),
        ),
    ).split("\n")

    assert [line.split(":")[0] for line in told] == [
        "malts.csv line 3, kind",
        "malts.csv line 3, extract_dry_pct",
        "malts.csv line 3, moisture_pct",
        "malts.csv line 3, source",
        "malts.csv line 4, name",
    ]
    assert "“bass”; one of base, caramel, roast" in told[0]
    assert "“79,2”; a number from 30 to 100 per cent, such as 80.5, is wanted; the decimal sign" in told[1]
    assert "empty; where the figures are from" in told[3]
    assert "“Pilsner malt” is a name of “Pilsner malt”; give it the key pilsner-malt" in told[4]


@pytest.mark.parametrize(
    ("table", "text", "words"),
    [
        ("malts", "", "malts.csv: empty; the first line names the columns: key, name"),
        ("malts", "# nothing\n", "malts.csv: empty"),
        ("hops", HOPS.replace(",", ";"), "line 1: columns parted by semicolons; save it with commas"),
        ("hops", HOPS.replace("alpha_pct", "alfa_pct"),
         "line 1, alfa_pct: the column is not known here; did you mean"),
        ("hops", HOPS.replace(",source", "").replace(",our garden", ""),
         "line 1, source: the column is missing"),
        ("hops", HOPS.replace("keeps_pct", "name"), "line 1, name: the column stands twice"),
        ("hops", HOPS + "Ditch hop,3,2\n", "line 3: 3 cells under 6 columns; a cell with a comma in it"),
        ("hops", HOPS + "Hedge hop,3,2,4,,me\n", "line 3, name: “Hedge hop” stands in line 2 too"),
        ("hops", HOPS.replace("3.1", "4.1"), "line 2, alpha_pct: “4.1”; it lies between"),
        ("hops", HOPS.replace("Hedge hop", ",,"), "cells under"),
        ("hops", HOPS.replace("Hedge hop", "-"), "line 2, name: “-”; a name has up to 120 characters"),
        ("hops", HOPS.replace("our garden", '"our'), "not a table in CSV"),
        ("hops", "key," + HOPS.replace("Hedge", "My Key,Hedge"),
         "line 2, key: “My Key”; a key has small letters"),
        ("hops", HOPS.replace("our garden", '"our\ngarden"'),
         "line 2, source: “our\ngarden”; one line of plain text"),
        ("hops", HOPS.replace("our garden", '"a\nb"') + "x,1,2,3,4\n", "line 4: 5 cells under 6 columns"),
        ("yeasts", "name,low_c,high_c,days,source\nMy sour,30,20,3,me\n",
         "line 2, high_c: “20”; the highest"),
        ("yeasts", "name,attenuation_pct,low_c,high_c,days,source\nBarn,75,15,20,3,me\n",
         "line 2, pitch_million_per_ml_plato: “”; a yeast wants a pitch"),
        ("yeasts", "name,low_c,high_c,days,diastatic,source\nMy sour,20,30,3,maybe,me\n",
         "line 2, diastatic: “maybe”; one of yes, no is wanted"),
    ],
)  # fmt: skip
def test_each_slip_in_a_table_is_refused_with_what_would_be_accepted(table, text, words):
    assert words in refused(table, text)


def test_faults_of_all_tables_are_told_together():
    with pytest.raises(Refused, match=r"malts\.csv line 3.*\n.*hops\.csv line 2") as caught:
        with_tables({"malts": MALTS.replace("base,79.2", "bass,79.2"), "hops": HOPS.replace("3.1", "x")})

    assert len(caught.value.problems) == 2


def take(table, text):
    """Read a table; a refusal names the file and says what would be accepted."""
    told = []
    try:
        read_table(table, text, where="own.csv")
    except Refused as refused:
        told = refused.problems
    assert all(problem.where.startswith("own.csv") and problem.accepted for problem in told)


@given(st.one_of(st.text(max_size=200), st.binary(max_size=200)), st.sampled_from(TABLE_NAMES))
def test_any_text_is_a_table_or_is_refused(text, table):
    take(table, text)


@pytest.mark.parametrize("table", TABLE_NAMES)
@given(data=st.data())
def test_any_cell_in_any_place_is_taken_or_refused(table, data):
    lines = table_text(table).splitlines()[:6]
    at = data.draw(st.integers(1, len(lines) - 1))
    cells = lines[at].split(",")
    odd = st.sampled_from(["nan", "1e3", "-1", "", '"', "９", "inf", "\x00", ";", "|", "0" * 5000])
    cells[data.draw(st.integers(0, len(cells) - 1))] = data.draw(st.one_of(odd, st.text(max_size=5)))
    lines[at] = ",".join(cells)

    take(table, "\n".join(lines))
