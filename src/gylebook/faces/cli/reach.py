"""Show the most that a brewery makes at each gravity, what stops it, and what one change would buy."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from gylebook.errors import Problem, Refused
from gylebook.faces import reach_words, words
from gylebook.faces.answers import printed
from gylebook.faces.cli.options import Units, brewery_beside, json_option, units_option
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.pictures.reach import reach_picture
from gylebook.figures.units import Dimension, read
from gylebook.tasks.files import load_brewery, load_plan
from gylebook.tasks.reach import DRAWS, PLAIN_WAYS, SEED, ReachView, gravity_of, look_for_reach, strongest_of
from gylebook.tasks.texts import write_new

ROWS = 9  # gravities listed of all that were looked at


@click.command()
@click.argument("plan", type=click.Path(path_type=Path), required=False)
@click.option(
    "--brewery", "-b", type=click.Path(path_type=Path), help="Brewery file; else the one beside the plan."
)
@units_option
@json_option
@click.option("--odds", help="How sure to be of every limit, like 90 %; the plan's own if not given.")
@click.option("--at", help="Gravity at which changes are weighed, like 1.057; the plan's own if not given.")
@click.option("--by", type=click.Choice(PLAIN_WAYS), help="Way of which changes are weighed; else the best.")
@click.option("--draws", type=int, default=DRAWS, show_default=True, help="Futures to draw.")
@click.option("--seed", type=int, default=SEED, show_default=True, help="Same seed, same answer.")
@click.option("--picture", type=click.Path(path_type=Path), help="Draw the edge into a new SVG file.")
def reach(
    plan: Path | None,
    brewery: Path | None,
    units: Units,
    as_json: bool,
    odds: str | None,
    at: str | None,
    by: str | None,
    draws: int,
    seed: int,
    picture: Path | None,
) -> None:
    """Find the most that a brewery makes at each gravity, by each way, with every limit kept.

    PLAN gives the grist, the rests, the boil and how the bag is drained; without it, those of a plain pale
    beer.
    """
    beside = brewery if plan is None else brewery_beside(plan, brewery)
    if beside is None:
        accepted = "name a plan, or a brewery with --brewery"
        raise Refused((Problem("PLAN, --brewery", "neither was given", accepted),))
    view = look_for_reach(
        load_brewery(beside),
        None if plan is None else load_plan(plan),
        at_sg=None if at is None else gravity_of(at),
        odds=None if odds is None else read(odds, Dimension.SHARE, where="--odds"),
        by=by or "",
        draws=draws,
        seed=seed,
    )
    if picture is not None:
        write_new(picture, reach_picture(view, units=units))
    if as_json:
        click.echo(printed(asdict(view)))
        return
    _show(view, units)
    if picture is not None:
        click.echo(f"written: {picture}")


def _show(view: ReachView, units: Units) -> None:
    print_heading(reach_words.heading(view))
    step = max(len(view.curves[0].points) // (ROWS - 1), 1)
    for curve in view.curves:
        rows = [
            (
                words.gravity(point.sg, units),
                reach_words.volume_text(point, units),
                reach_words.stopped_by(point),
            )
            for point in curve.points[::step]
            if point.volume_l is not None
        ]
        if rows:
            click.echo()
            print_table(reach_words.way_name(curve.way), ("gravity", "at most", "stopped by"), rows)
    strongest = max(point.sg for curve in view.curves for point in curve.points)
    rows = [
        (
            words.volume(found.volume_l, units),
            reach_words.strongest_text(found, strongest, units),
            reach_words.way_name(found.way) if found.way else "",
        )
        for volume in reach_words.round_volumes(view, units)
        for found in [strongest_of(view.curves, volume)]
    ]
    click.echo()
    print_table("The strongest wort", ("for", "gravity", "by"), rows)
    if view.gains:
        way = reach_words.way_name(view.gains_of)
        at = words.gravity(view.at_sg, units)
        print_heading(f"What one change would buy at {at}. {way}.")
        for gain in view.gains:
            print_sentence(reach_words.gain_sentence(gain, units))
