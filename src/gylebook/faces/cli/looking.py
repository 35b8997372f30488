"""Look ahead from the files that a command was given."""

from __future__ import annotations

from pathlib import Path

from gylebook.faces.cli.options import brewery_beside, named_book
from gylebook.tasks.files import load_brewery, load_plan, load_readings
from gylebook.tasks.outlook import Outlook, look_ahead


def outlook_of(
    plan: Path, brewery: Path | None, draws: int, seed: int, readings: Path | None = None
) -> Outlook:
    """The outlook of a plan file on the brewery named, or else beside it, given the readings."""
    given = load_plan(plan, named_book())
    gear = load_brewery(brewery_beside(plan, brewery))
    read = load_readings(readings) if readings is not None else ()
    return look_ahead(given, gear, read, draws=draws, seed=seed)
