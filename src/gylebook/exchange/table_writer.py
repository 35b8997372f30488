"""Write a table as it stands, own rows in the places of the shipped ones, as CSV to be edited.

In:  the name of a table, the text of a brewer's own one.
Out: the text of the whole table.

Idea: cells are carried over as they were typed, so that no figure is rounded and what the program does not
compute with, such as a remark, stays.  Written out and taken in again, a table is the same table.
"""

from __future__ import annotations

import csv
import io

from gylebook.exchange.naming import slug
from gylebook.exchange.table_reader import cells_of, remarks_of
from gylebook.exchange.table_rows import SHEETS, TableName
from gylebook.exchange.tables import table_text


def whole_table(table: TableName, own: str, *, where: str) -> str:
    """The shipped rows with the own ones in their places, then new ones; `own` is empty where there are none.

    Names are not judged, so that a table may still be written out and mended after the rows that ship
    have taken a name of its rows.

    Raises
    ------
    Refused
        If `own` is no table with the columns of this one.
    """
    sheet, shipped = SHEETS[table], table_text(table)
    rows: dict[str, dict[str, str]] = {}
    for cells in cells_of(sheet, shipped, where) + (cells_of(sheet, own, where) if own else []):
        key = cells.get("key") or slug(cells["name"])
        rows[key] = {**cells, "key": key}
    out = io.StringIO()
    for remark in dict.fromkeys(remarks_of(shipped) + remarks_of(own)):
        out.write(f"{remark}\n")
    writer = csv.DictWriter(out, list(sheet.columns), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows.values())
    return out.getvalue()
