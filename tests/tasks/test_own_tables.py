"""Own tables count for the brews that are started after, and for no brew that was started before."""

from __future__ import annotations

import pytest

from command_line import changed, shed
from gylebook.errors import Refused
from gylebook.exchange.tables import SHIPPED
from gylebook.record.store import open_book
from gylebook.tasks.brew_outlook import fingerprint
from gylebook.tasks.brews import look_at_brew, make_book, start_brew
from gylebook.tasks.own_tables import book_tables, look_at_table, take_in_table, write_out_table
from gylebook.tasks.shelf import look_at_book

AT = "2026-03-14T08:00:00+01:00"
HEADINGS = {
    "malts": "name,kind,extract_dry_pct,extract_scatter_pct,moisture_pct,colour_ebc,source\n",
    "sugars": "name,kind,extract_pct,fermentable_pct,colour_ebc,source\n",
    "yeasts": "name,attenuation_pct,attenuation_scatter_pct,pitch_million_per_ml_plato,"
    "low_c,high_c,days,source\n",
    "hops": "name,alpha_pct,alpha_low_pct,alpha_high_pct,keeps_pct,source\n",
}
POOR_VIENNA = HEADINGS["malts"] + "Vienna malt,base,72,1,4.5,9,lot sheet 4711\n"
OWN = {
    "malts": HEADINGS["malts"] + "Barn malt,base,76,1,5,12,the sack\n",
    "sugars": HEADINGS["sugars"] + "heather honey,sugar,81,93,20,the jar\n",
    "yeasts": HEADINGS["yeasts"] + "barn yeast,73,3,0.8,17,23,5,our own slurry\n",
    "hops": HEADINGS["hops"] + "Hedge hop,3.1,2.5,3.7,40,our garden\n",
}
HONEY = '\n[[additions]]\nname = "heather honey"\nmass = "500 g"\nat = "kettle end"\n'


@pytest.fixture
def book(tmp_path):
    location = str(tmp_path / "shed.gyle")
    make_book(location)
    return location


@pytest.fixture
def files(tmp_path):
    return shed(tmp_path)


def take_in(book, folder, name, text):
    path = folder / f"{name}.csv"
    path.write_text(text, encoding="utf-8")
    return take_in_table(book, name, path)


def start(book, files, name):
    return start_brew(book, name, files / "plan.toml", files / "brewery.toml", AT, draws=200)


def vienna(outlook):
    return next(grain for grain in outlook.plan.grist if grain.name == "Vienna malt")


def test_a_later_table_changes_no_brew_that_was_started_before_it(book, files):
    before = start(book, files, "before")

    take_in(book, files, "malts", POOR_VIENNA)
    after = start(book, files, "after")
    take_in(book, files, "malts", POOR_VIENNA.replace(",72,", ",66,"))

    for name, started, extract in (("before", before, 0.805), ("after", after, 0.72)):
        again = look_at_brew(book, name)
        assert vienna(again.outlook).extract_dry == extract
        assert fingerprint(again.outlook) == fingerprint(started.outlook)
    # The poorer malt is not a word alone: more of it has to be weighed for the same wort.
    assert vienna(after.outlook).mass_kg > 1.02 * vienna(before.outlook).mass_kg


def test_a_plan_may_name_what_only_the_own_tables_know(book, files):
    plan = files / "plan.toml"
    changed(plan, ('"Vienna malt"', '"Barn malt"'), ('"Perle"\nalpha = "7.2 %"', '"Hedge hop"'))
    changed(plan, ("American ale, clean", "barn yeast"))
    plan.write_text(plan.read_text(encoding="utf-8") + HONEY, encoding="utf-8")
    with pytest.raises(Refused, match="“Barn malt” is not in the table of malts"):
        start(book, files, "too soon")
    for name, text in OWN.items():
        take_in(book, files, name, text)

    started = start(book, files, "own").outlook.plan

    # The tables are emptied again, and the brew knows its figures still.
    for name, heading in HEADINGS.items():
        take_in(book, files, name, heading)
    again = look_at_brew(book, "own").outlook.plan
    assert again.grist == started.grist
    assert "Barn malt" in {grain.name for grain in again.grist}
    assert next(hop for hop in again.hops if hop.variety == "Hedge hop").alpha == 0.031
    assert [(it.extract, it.fermentable) for it in again.additions if it.name == "heather honey"] == [
        (0.81, 0.93)
    ]
    assert "barn yeast" in {portion.yeast.kind for portion in again.portions}
    with open_book(book) as opened:
        assert book_tables(opened).grain("Barn malt") is None


def test_the_newest_version_of_each_table_is_the_one_that_counts(book, files):
    take_in(book, files, "hops", OWN["hops"])
    take_in(book, files, "malts", POOR_VIENNA)
    take_in(book, files, "malts", OWN["malts"])

    with open_book(book) as opened:
        tables = book_tables(opened)

    assert tables.hop("hedge hop").alpha == 0.031
    assert tables.grain("barn malt").colour_ebc == 12
    assert tables.grain("Vienna malt") == SHIPPED.grain("Vienna malt")
    assert [(t.name, t.version) for t in look_at_book(book).tables] == [
        ("hops", 1),
        ("malts", 1),
        ("malts", 2),
    ]


def test_a_book_without_own_tables_has_those_that_ship(book):
    with open_book(book) as opened:
        assert book_tables(opened) == SHIPPED
    view = look_at_table(book, "yeasts")
    assert (view.version, len(view.rows)) == (0, len(SHIPPED.rows("yeasts")))
    assert not any(row.own for row in view.rows)


def test_a_table_is_written_out_edited_and_taken_in(book, files):
    take_in(book, files, "malts", POOR_VIENNA)
    out = files / "to edit.csv"

    write_out_table(book, "malts", out)
    same = take_in_table(book, "malts", out)
    changed(out, ("trade data sheets, from memory", "our sacks"))
    edited = take_in_table(book, "malts", out)

    # Only what is not as it ships is called own, though the file now holds every row.
    assert [row.name for row in same.rows if row.own] == ["Vienna malt"]
    assert next(row for row in same.rows if row.own).figures["extract_dry"] == 0.72
    assert (same.version, edited.version) == (2, 3)
    assert "our sacks" in {row.source for row in edited.rows}
    assert take_in_table(book, "malts", out).version == 3
    with open_book(book) as opened:
        assert opened.table("malts").text.encode() == out.read_bytes()


def test_a_file_that_is_there_is_not_written_over(book, files):
    edited = files / "malts.csv"
    edited.write_text("an evening's work", encoding="utf-8")

    with pytest.raises(Refused, match=r"malts\.csv: is there already and was left as it is"):
        write_out_table(book, "malts", edited)
    with pytest.raises(Refused, match=r"cannot be written \(no such file or directory\)"):
        write_out_table(book, "malts", files / "nowhere" / "malts.csv")

    assert edited.read_text(encoding="utf-8") == "an evening's work"


def test_every_fault_is_told_at_once_and_nothing_is_kept(book, files):
    faulty = POOR_VIENNA.replace("base,72", "bass,720").replace("lot sheet 4711", "")

    with pytest.raises(Refused, match=r"malts\.csv line 2, kind: “bass”") as refused:
        take_in(book, files, "malts", faulty)

    assert [problem.where.rpartition(" ")[2] for problem in refused.value.problems] == [
        "kind",
        "extract_dry_pct",
        "source",
    ]
    (files / "malts.csv").write_bytes(b"name\xff")
    with pytest.raises(Refused, match="UTF-8"):
        take_in_table(book, "malts", files / "malts.csv")
    assert look_at_book(book).tables == ()
