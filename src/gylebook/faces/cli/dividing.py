"""Divide a wort on the command line: divide, becomes, styles, larder, fillings."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from gylebook.errors import Problem, Refused
from gylebook.faces import divide_words
from gylebook.faces.answers import printed
from gylebook.faces.cli import report_divide
from gylebook.faces.cli.looking import outlook_of
from gylebook.faces.cli.options import (
    Units,
    brewery_beside,
    json_option,
    plan_options,
    units_option,
)
from gylebook.faces.cli.tables import print_table
from gylebook.faces.divide_answers import becomes_answer, divided_answer, fillings_answer, larder_answer
from gylebook.figures.units import Dimension, read
from gylebook.tasks.becoming import MOST_SHOWN, what_it_becomes
from gylebook.tasks.dividing import DRAWS, SEED, chosen_plan, divided, load_wish
from gylebook.tasks.files import load_brewery
from gylebook.tasks.filling import litres_of, ways_to_fill
from gylebook.tasks.larder import load_larder, shopping
from gylebook.tasks.styles import styles_matching
from gylebook.tasks.texts import write_new


@click.command()
@click.argument("wish", type=click.Path(path_type=Path))
@click.option(
    "--brewery",
    "-b",
    type=click.Path(path_type=Path),
    help="Brewery file; brewery.toml beside the wish if not given.",
)
@click.option("--choose", type=int, default=1, show_default=True, help="The solution that --out writes.")
@click.option("--out", "-o", type=click.Path(path_type=Path), help="Write that solution as a plan file.")
@click.option("--draws", type=int, default=DRAWS, show_default=True, help="Futures to draw.")
@click.option("--seed", type=int, default=SEED, show_default=True, help="Same seed, same answer.")
@units_option
@json_option
def divide(
    wish: Path,
    brewery: Path | None,
    choose: int,
    out: Path | None,
    draws: int,
    seed: int,
    units: Units,
    as_json: bool,
) -> int:
    """Find the one wort from which the beers in the file WISH can be made.

    Several solutions, best first, each with what every beer gets of its own and the odds that it lies within
    its aims; and what stands between beers that no one wort serves. Exit code 1 where the best does not
    serve them all.
    """
    found = divided(load_wish(wish), load_brewery(brewery_beside(wish, brewery)), draws=draws, seed=seed)
    if out is not None:
        write_new(out, chosen_plan(found, choose))
    if as_json:
        click.echo(printed(divided_answer(found)))
    else:
        report_divide.show_divided(found, units)
        if out is not None:
            click.echo(f"\nwritten: {out}")
    return 0 if found.solutions[0].served else 1


@click.command()
@plan_options
@click.option("--portion", help="Key of the portion whose wort it is; the first if not given.")
@click.option("--most", type=int, default=MOST_SHOWN, show_default=True, help="How many styles to show.")
@units_option
@json_option
def becomes(
    plan: Path,
    brewery: Path | None,
    draws: int,
    seed: int,
    portion: str | None,
    most: int,
    units: Units,
    as_json: bool,
) -> None:
    """Rank what else the wort of PLAN could become, by yeast and additions alone.

    Published ranges of styles are aimed at with every kind of yeast, liquor, sugar, a tea of hops, a tea of
    roasted grain, and long ageing.
    """
    if not 1 <= most <= 100:
        raise Refused((Problem("--most", f"{most}", "take 1 to 100"),))
    found = what_it_becomes(outlook_of(plan, brewery, draws, seed), portion, most=most)
    if as_json:
        click.echo(printed(becomes_answer(found)))
        return
    report_divide.show_becomings(found, units)


@click.command()
@click.argument("name", default="")
@units_option
@json_option
def styles(name: str, units: Units, as_json: bool) -> None:
    """List styles whose name or code holds NAME, with their published ranges."""
    found = styles_matching(name)
    if not found:
        raise Refused((Problem("name", f"no style is called “{name}”", "leave it out to see them all"),))
    if as_json:
        click.echo(printed({"styles": [asdict(one) for one in found]}))
        return
    kinds = divide_words.QUALITY_WORDS
    rows = [
        (
            f"{row.name} ({row.code})",
            *(divide_words.range_text(q, row.ranges[q], units) if q in row.ranges else "" for q in kinds),
        )
        for row in found
    ]
    print_table("", ("", *(divide_words.column_of(q, units) for q in kinds)), rows)


@click.command()
@plan_options
@click.option("--cupboard", "-c", type=click.Path(path_type=Path), required=True, help="Larder file.")
@click.option(
    "--grist-moves",
    default="1 %",
    show_default=True,
    help="How far a grain's share may move.",
)
@click.option("--out", "-o", type=click.Path(path_type=Path), help="Write the plan with these weights.")
@units_option
@json_option
def larder(
    plan: Path,
    brewery: Path | None,
    draws: int,
    seed: int,
    cupboard: Path,
    grist_moves: str,
    out: Path | None,
    units: Units,
    as_json: bool,
) -> None:
    """Say what to buy for PLAN in whole packs, and move its weights to what packs give.

    The cheapest packs that hold enough, with little left over; the plan is forecast again on the weights.
    """
    moves = read(grist_moves, Dimension.SHARE, where="--grist-moves")
    if not 0.0 <= moves <= 0.05:
        raise Refused((Problem("--grist-moves", f"“{grist_moves}”", "take 0 to 5 %"),))
    view = shopping(outlook_of(plan, brewery, draws, seed), load_larder(cupboard), grist_moves=moves)
    if out is not None:
        write_new(out, view.plan)
    if as_json:
        click.echo(printed(larder_answer(view)))
        return
    report_divide.show_larder(view, units)
    if out is not None:
        click.echo(f"\nwritten: {out}")


@click.command()
@click.argument("brewery", type=click.Path(path_type=Path))
@click.option("--litres", help="Wort wanted in all, like 34 L; all fermenters if not given.")
@click.option("--keg", "kegs", multiple=True, help="A keg at hand, like 9.5 L; give it once for each.")
@click.option("--bottle", help="Size of the bottles at hand, like 0.5 L.")
@click.option("--most", type=int, default=5, show_default=True, help="How many sets to show.")
@units_option
@json_option
def fillings(
    brewery: Path,
    litres: str | None,
    kegs: tuple[str, ...],
    bottle: str | None,
    most: int,
    units: Units,
    as_json: bool,
) -> None:
    """Propose sets of portions that fill the fermenters of BREWERY and your packages.

    What a fermenter keeps back is counted, so that kegs end full and no last bottle half empty.
    """
    found = ways_to_fill(
        load_brewery(brewery),
        kegs_l=[litres_of(keg, "--keg") for keg in kegs],
        bottle_l=None if bottle is None else litres_of(bottle, "--bottle"),
        wanted_l=None if litres is None else litres_of(litres, "--litres"),
        most=most,
    )
    if as_json:
        click.echo(printed(fillings_answer(found)))
    else:
        report_divide.show_fillings(found, units)
