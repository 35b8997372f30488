"""Print a table of malts, sugars, yeasts, hops or bottles as it stands in a book.

In:  `TableView`.  Out: text, the figures that a brewer looks for; `--json` has all of them.
"""

from __future__ import annotations

from gylebook.faces import pack_words, words
from gylebook.faces.cli.options import Units
from gylebook.faces.cli.tables import print_table
from gylebook.tasks.own_tables import RowView, TableName, TableView

# The title of each column, and the figure that stands in it.
COLUMNS: dict[TableName, dict[str, str]] = {
    "malts": {"kind": "kind", "extract": "extract_dry", "moisture": "moisture", "colour": "colour_ebc"},
    "sugars": {"kind": "kind", "extract": "extract", "fermentable": "fermentable", "colour": "colour_ebc"},
    "yeasts": {
        "attenuation": "attenuation",
        "pitch": "pitch_million_per_ml_plato",
        "lowest": "low_c",
        "highest": "high_c",
    },
    "hops": {"alpha": "alpha", "half-year loss": "half_year_loss"},
    "bottles": {"holds": "size_l", "working limit": "limit_bar", "new, for a minute": "proof_bar"},
}


def show_table(view: TableView, units: Units) -> None:
    """Name, key figures and source of every row; “own” marks those that are not as they ship."""
    columns = COLUMNS[view.name]
    version = f"own version {view.version}" if view.version else "as shipped"
    rows = [
        (
            row.name,
            *(_cell(row, figure, units) for figure in columns.values()),
            "own" if row.own else "",
            row.source,
        )
        for row in view.rows
    ]
    print_table(f"{view.name.capitalize()}, {version}", ("name", *columns, "", "source"), rows)


def _cell(row: RowView, figure: str, units: Units) -> str:
    value = row.figures[figure]
    if value is None or isinstance(value, str):
        return value or ""
    if figure == "colour_ebc":
        return words.grain_colour(value, units)
    if figure in ("low_c", "high_c"):
        return words.temperature(value, units)
    if figure == "pitch_million_per_ml_plato":
        return words.fixed(value, 2)
    if figure == "size_l":
        return words.to_measure(value, "volume", units)
    if figure in ("limit_bar", "proof_bar"):
        return pack_words.pressure(value, units)
    return words.amount(100 * value, "%")
