"""A table that is written out, own rows in their places, is the same table when it is read again."""

from __future__ import annotations

import pytest

from gylebook.errors import Refused
from gylebook.exchange.table_writer import whole_table
from gylebook.exchange.tables import TABLE_NAMES, table_text, with_tables

# Columns in another order, one left out, no key, a name with a comma, a remark, an editor's byte-order mark.
HOPS = """\ufeff# weighed and sniffed at by Ada
source,name,alpha_low_pct,alpha_pct,alpha_high_pct
our garden,"Hedge hop, late",2.5,3.10,3.7
pack of 2026,Perle,6.9,7.20,7.5
"""


@pytest.mark.parametrize("table", TABLE_NAMES)
def test_without_own_rows_it_is_the_shipped_table_to_the_letter(table):
    assert whole_table(table, "", where="own") == table_text(table)


def test_an_own_row_stands_in_the_place_of_the_shipped_one_and_new_ones_follow():
    lines = whole_table("hops", HOPS, where="own").splitlines()
    shipped = table_text("hops").splitlines()

    assert lines[:3] == [shipped[0], "# weighed and sniffed at by Ada", shipped[1]]
    perle = next(number for number, line in enumerate(shipped) if line.startswith("perle,"))
    assert lines[perle + 1] == "perle,Perle,,7.20,6.9,7.5,,pack of 2026"
    assert lines[-1] == 'hedge-hop-late,"Hedge hop, late",,3.10,2.5,3.7,,our garden'
    assert len(lines) == len(shipped) + 2


def test_read_again_it_is_the_same_table_and_written_again_the_same_text():
    whole = whole_table("hops", HOPS, where="own")

    assert with_tables({"hops": whole}).rows("hops") == with_tables({"hops": HOPS}).rows("hops")
    assert whole_table("hops", whole, where="own") == whole


def test_a_row_whose_name_was_taken_since_can_still_be_written_out():
    clashing = HOPS.replace("Hedge hop, late", "Saaz").replace("source,", "key,source,")
    clashing = clashing.replace("our garden", "hedge,our garden").replace("pack", ",pack")

    with pytest.raises(Refused, match="“Saaz” is a name of “Saaz”"):
        with_tables({"hops": clashing})
    assert "hedge,Saaz,,3.10," in whole_table("hops", clashing, where="own")


@pytest.mark.parametrize(
    ("own", "told"),
    [
        ("nonsense\n", r"own line 1, nonsense: the column is not known"),
        (HOPS + "me,Ditch hop,3\n", r"own line 5: 3 cells under 5 columns"),
        ('"', r"own: not a table in CSV"),
    ],
)
def test_what_is_no_table_cannot_be_written_out(own, told):
    with pytest.raises(Refused, match=told):
        whole_table("hops", own, where="own")
