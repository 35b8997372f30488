"""Read the published tables that tests measure the program against.

Each file in `tests/published/` names its source on the first line; rows follow under a header.
"""

from __future__ import annotations

import csv
from pathlib import Path

HERE = Path(__file__).parent / "published"


def published_rows(name: str) -> list[dict[str, str]]:
    """Every row of one table as a dictionary of its columns."""
    lines = (HERE / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    if not lines[0].startswith("# "):
        raise ValueError(f"{name}.csv does not name its source on the first line")
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def published(name: str, *columns: str) -> list[tuple[float, ...]]:
    """The named columns (all, where none is named) of every row that has them, as numbers."""
    rows = published_rows(name)
    wanted = columns or tuple(rows[0])
    return [tuple(float(row[c]) for c in wanted) for row in rows if all(row[c] for c in wanted)]
