"""Guide an evening with water alone, and learn the gear's figures from its readings."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from gylebook.faces.answers import printed, read_answers, worth_answer
from gylebook.faces.cli import report_evening
from gylebook.faces.cli.options import Units, json_option, readings_option, units_option
from gylebook.faces.cli.report_day import order_answer
from gylebook.figures.units import Dimension, read
from gylebook.tasks.evening import EveningOutlook, look_at_evening
from gylebook.tasks.evening_readings import evening_readings, evening_trust
from gylebook.tasks.evening_view import EveningView, evening_view, write_gauged
from gylebook.tasks.files import load_brewery, load_readings


@click.command()
@click.option("--seed", type=int, default=1, show_default=True, help="Same seed, same answer.")
@click.option("--draws", type=int, default=4000, show_default=True, help="Futures to draw.")
@click.option("--litres", help='Cold water in all, like "20 L" or "5 gal"; half the kettle if not given.')
@click.option("--boil", help='How long to boil it, like "30 min"; by the water there is if not given.')
@readings_option
@units_option
@json_option
@click.option("--write", type=click.Path(path_type=Path), help="Write a brewery file with what was learned.")
@click.argument("brewery", type=click.Path(path_type=Path))
def evening(
    brewery: Path,
    litres: str | None,
    boil: str | None,
    draws: int,
    seed: int,
    readings: Path | None,
    units: Units,
    as_json: bool,
    write: Path | None,
) -> None:
    """Run water alone through the gear of BREWERY, before the first brew or whenever gear is new.

    Without readings: what to do, what to write down and where it is expected to lie, and which readings pay.
    With readings: each figure of the gear before them, on that evening, and for the next brew.
    """
    outlook = look_at_evening(
        load_brewery(brewery),
        () if readings is None else load_readings(readings),
        litres=None if litres is None else read(litres, Dimension.VOLUME, where="--litres"),
        boil_minutes=None if boil is None else read(boil, Dimension.DURATION, where="--boil"),
        draws=draws,
        seed=seed,
    )
    view = evening_view(outlook)
    if write is not None:
        write_gauged(outlook, view, brewery, write)
    if as_json:
        answer = _answer(outlook, view)
        answer["written"] = None if write is None else str(write)
        click.echo(printed(answer))
        return
    if readings is None:
        report_evening.show_steps(view, units)
    else:
        report_evening.show_gauged(outlook, view, units)
    report_evening.show_worth(view)
    if write is not None:
        click.echo(f"written: {write}")


def _answer(outlook: EveningOutlook, view: EveningView) -> dict[str, Any]:
    return {
        **asdict(view),
        "order": order_answer(view.order),
        "worth": [worth_answer(worth) for worth in view.worth],
        "readings": read_answers(evening_readings(outlook), evening_trust(outlook)),
    }
