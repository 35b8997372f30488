"""Show what each portion becomes as a beer, and read a gravity in young beer."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from gylebook.errors import Problem, Refused
from gylebook.faces import telling, words
from gylebook.faces.answers import printed, reading_answers
from gylebook.faces.cli import report_beers, report_day
from gylebook.faces.cli.looking import outlook_of
from gylebook.faces.cli.options import (
    Units,
    json_option,
    plan_options,
    readings_option,
    units_option,
)
from gylebook.figures.units import Dimension, read
from gylebook.tasks.beers import beer_views, blend_views
from gylebook.tasks.files import load_brewery
from gylebook.tasks.young_beer import factor_of, gravity_in_beer, usual_instrument

DEEPEST_CM = 50.0


@click.command()
@plan_options
@readings_option
@units_option
@json_option
@click.option(
    "--glass", default="5 cm", show_default=True, help="How much beer the light goes through, for its colour."
)
def beers(
    plan: Path,
    brewery: Path | None,
    draws: int,
    seed: int,
    readings: Path | None,
    units: Units,
    as_json: bool,
    glass: str,
) -> None:
    """Show each portion of PLAN as the beer it becomes.

    Bitterness by both models, colour, alcohol by every published formula, energy, the heat of its
    fermentation, the gas that stays in it and the sugar to prime it with.
    """
    path_cm = 100.0 * read(glass, Dimension.LENGTH, where="--glass")
    if path_cm > DEEPEST_CM:
        deepest = f"give up to {DEEPEST_CM:.0f} cm"
        raise Refused((Problem("--glass", f"“{glass}” is deeper than any glass", deepest),))
    outlook = outlook_of(plan, brewery, draws, seed, readings)
    found, blends = beer_views(outlook, path_cm=path_cm), blend_views(outlook)
    if as_json:
        answer = {
            "beers": [asdict(view) for view in found],
            "blends": [asdict(view) for view in blends],
            "readings": reading_answers(outlook),
        }
        click.echo(printed(answer))
        return
    report_day.show_readings(outlook, units)
    for view in found:
        report_beers.show_beer(view, outlook.plan.bitterness_by, units, glass)
    for blend in blends:
        report_beers.show_blend(blend, units)


@click.command()
@click.argument("value")
@click.option("--original", required=True, help="Original gravity, like 1.052.")
@click.option(
    "--brewery",
    "-b",
    type=click.Path(path_type=Path),
    help="Brewery file, for its instruments and its own factor.",
)
@click.option(
    "--on", "instrument", help="The instrument; °Bx stands on a refractometer, an SG on a hydrometer."
)
@click.option("--temperature", help="Of the sample, for a hydrometer.")
@units_option
@json_option
def gravity(
    value: str,
    original: str,
    brewery: Path | None,
    instrument: str | None,
    temperature: str | None,
    units: Units,
    as_json: bool,
) -> None:
    """Read a gravity off an instrument in fermenting beer: VALUE is like "6.2 °Bx" or 1.014.

    A refractometer sees alcohol too; the answer says how far its error and your factor leave it open.
    """
    shown = read(value, Dimension.GRAVITY, where="value")
    began = read(original, Dimension.GRAVITY, where="--original")
    warm = None if temperature is None else read(temperature, Dimension.TEMPERATURE, where="--temperature")
    gear = load_brewery(brewery) if brewery is not None else None
    on = usual_instrument(value, gear.instruments if gear is not None else None, instrument)
    found = gravity_in_beer(shown, on, began, warm, factor=factor_of(gear))
    if as_json:
        click.echo(printed(asdict(found)))
        return
    read_as = telling.reading_text("gravity", shown, units, on.kind)
    click.echo(f"{on.name} {read_as}, began at {words.amount(began, '°P', units)}:")
    click.echo(f"  gravity {words.median_and_interval(found.sg, 'SG', units)}")
    click.echo(f"  alcohol {words.median_and_interval(found.abv, '%', units)}")
    low, middle, high = (
        words.share(x) for x in (found.attenuation.low, found.attenuation.median, found.attenuation.high)
    )
    click.echo(f"  attenuation {middle} ({low} – {high})")
