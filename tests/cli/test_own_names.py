"""A plan that names a malt of the brewer's own is solved before anything is brewed."""

from __future__ import annotations

from command_line import changed, cli

FEW = ("--draws", "400")
OWN = """# source: the maltster's own sheet
key,name,also,kind,extract_dry_pct,extract_scatter_pct,moisture_pct,colour_ebc,holds_more_l_per_kg,source
hedge-malt,Hedge malt,,base,80.5,0.4,4.4,7.0,0,"lot sheet"
"""


def test_an_own_malt_is_known_to_the_plan_once_its_book_is_named(shed, tmp_path):
    book, table = str(tmp_path / "own.gyle"), tmp_path / "malts.csv"
    table.write_text(OWN, encoding="utf-8")
    assert cli("book", "new", "--book", book).code == 0
    assert cli("book", "table", "malts", "--book", book, "--in", table).code == 0
    changed(shed / "plan.toml", ('grain = "Vienna malt"', 'grain = "Hedge malt"'))

    without = cli("solve", shed / "plan.toml", *FEW)
    with_it = cli("solve", shed / "plan.toml", "--names-from", book, "--json", *FEW)

    assert without.code == 2
    assert "Hedge malt" in without.err
    assert with_it.code in (0, 1)
    assert with_it.json["amounts"]["grist"][0]["grain"] == "Hedge malt"


def test_a_book_that_is_not_there_is_told_in_words(shed, tmp_path):
    answer = cli("forecast", shed / "plan.toml", "--names-from", str(tmp_path / "none.gyle"), *FEW)

    assert answer.code == 2
    assert "There is no book" in answer.err
