"""A brewer's own tables are shown, written out and taken in on the command line."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from command_line import changed, cli, refusal

OLD_BOOK = Path(__file__).parents[1] / "record" / "files" / "book_at_0001.sql"


def test_a_table_goes_out_to_be_edited_and_comes_in_again(book, shed):
    out = shed / "hops.csv"
    written = cli("book", "table", "hops", "--out", out, "--book", book)
    assert (written.code, written.out) == (0, f"written: {out}\n")
    changed(out, ("perle,Perle,,", "perle,Perle,hedge Perle,"))

    kept = cli("book", "table", "hops", "--in", out, "--book", book)

    assert kept.code == 0
    assert kept.out.startswith("kept: hops, version 1; 1 of its ")
    shown = cli("book", "table", "hops", "--book", book, "--json").json
    assert (shown["table"], shown["version"]) == ("hops", 1)
    assert [(row["name"], row["also"]) for row in shown["rows"] if row["own"]] == [("Perle", ["hedge Perle"])]
    listed = cli("book", "show", "--book", book)
    assert "Own tables" in listed.out
    assert cli("book", "show", "--book", book, "--json").json["tables"][0]["name"] == "hops"


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("malts", ("Vienna malt", "80.5 %", "EBC", "trade data")),
        ("sugars", ("table sugar", "100.0 %")),
        ("yeasts", ("American ale, clean", "77.0 %", "0.75", "16 °C", "22 °C")),
        ("hops", ("Saaz", "half-year loss")),
    ],
)
def test_a_table_is_shown_with_its_key_figures_and_where_they_are_from(tmp_path, table, words):
    place = tmp_path / "shed.gyle"
    cli("book", "new", "--book", place)

    shown = cli("book", "table", table, "--book", place)

    assert (shown.code, shown.err) == (0, "")
    assert f"{table.capitalize()}, as shipped" in shown.out
    for word in (*words, "source"):
        assert word in shown.out
    rows = cli("book", "table", table, "--book", place, "--json").json["rows"]
    assert all(row["source"] and not row["own"] and "figures" not in row for row in rows)


def test_figures_are_shown_in_the_brewers_units(tmp_path):
    place = tmp_path / "shed.gyle"
    cli("book", "new", "--book", place)

    assert "SRM" in cli("book", "table", "malts", "--book", place, "--units", "us").out
    assert "61 °F" in cli("book", "table", "yeasts", "--book", place, "--units", "us").out


def test_what_cannot_be_taken_in_or_written_out_is_refused(tmp_path):
    place, own = tmp_path / "shed.gyle", tmp_path / "own.csv"
    cli("book", "new", "--book", place)
    own.write_text("name,alpha_pct,source\nHedge hop,x,\n", encoding="utf-8")
    at = ("--book", place)

    told = refusal("book", "table", "hops", "--in", own, *at)
    assert "own.csv line 1, alpha_low_pct: the column is missing" in told
    assert "own.csv line 1, alpha_high_pct: the column is missing" in told
    assert "is there already" in refusal("book", "table", "hops", "--out", own, *at)
    assert "both were given" in refusal("book", "table", "hops", "--in", own, "--out", own, *at)
    assert "cannot be read" in refusal("book", "table", "hops", "--in", tmp_path / "none.csv", *at)
    assert "There is no book" in refusal("book", "table", "hops", "--book", tmp_path / "none.gyle")
    assert "spices" in refusal("book", "table", "spices", *at)
    assert cli("book", "show", *at, "--json").json["tables"] == []


@pytest.mark.parametrize("command", [("show",), ("table", "malts")], ids=" ".join)
def test_a_book_of_an_earlier_gylebook_is_shown_after_a_copy_was_left(tmp_path, command):
    place = tmp_path / "orchard.gyle"
    with closing(sqlite3.connect(place)) as connection:
        connection.executescript(OLD_BOOK.read_text(encoding="utf-8"))

    answer = cli("book", *command, "--book", place)

    assert (answer.code, answer.err) == (0, "")
    assert len(list(tmp_path.glob("orchard-0001-*.gyle"))) == 1
    assert cli("brew", "show", "Orchard amber", "--book", place).code in (0, 1)
