"""Print a divided wort, what a wort could become, a shopping list, and sets of portions."""

from __future__ import annotations

from collections.abc import Sequence

import click

from gylebook.faces import divide_words, larder_words, words
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.findings import limit_sentence
from gylebook.faces.words import Units
from gylebook.tasks.dividing import Divided
from gylebook.tasks.division_views import BecomingView, MadeView, SolutionView
from gylebook.tasks.filling import FillingSet
from gylebook.tasks.larder import LarderView


def show_divided(found: Divided, units: Units) -> None:
    """Every solution, and what stands between the beers."""
    click.secho(found.name, bold=True)
    for conflict in found.conflicts:
        print_sentence(divide_words.conflict_sentence(conflict, units))
    for beer in found.unmade:
        print_sentence(divide_words.unmade_sentence(beer, units))
    for solution in found.solutions:
        _show_solution(solution, units)
    print_heading("Mind")
    print_sentence(divide_words.CAN_WAIT)
    for caution in divide_words.cautions_of(found.solutions):
        print_sentence(caution)


def _show_solution(solution: SolutionView, units: Units) -> None:
    print_heading(f"{solution.number}. {divide_words.solution_heading(solution, units)}")
    print_sentence(divide_words.solution_verdict(solution))
    grist = ", ".join(f"{words.mass(kg, units, weighed=True)} {name}" for name, kg in solution.grist)
    print_sentence(f"Grain: {grist}.")
    hops = ", ".join(
        f"{words.mass(kg, units, weighed=True)} {variety}" for variety, _, _, kg in solution.hops
    )
    if hops:
        print_sentence(f"Hops: {hops}.")
    rows = [(beer.name, *_figures(beer, units), words.odds(beer.odds_all)) for beer in solution.beers]
    print_table("", ("", "gravity", "alcohol", "bitter", "colour", "within all"), rows)
    for beer in solution.beers:
        print_sentence(
            f"{beer.name}: {divide_words.packs_text(beer)}; {divide_words.near_text(beer, units)}."
        )
        print_sentence(f"Of its own: {divide_words.own_text(beer, units)}.", indent=4)
    for limit in solution.lost:
        print_sentence(limit_sentence(limit, units))


def _figures(made: MadeView, units: Units) -> tuple[str, str, str, str]:
    gravity = f"{words.gravity(made.og.median, units)} → {words.gravity(made.fg.median, units)}"
    return (
        gravity,
        words.abv(made.abv.median),
        words.amount(made.ibu.median, "IBU", units),
        words.amount(made.colour_srm.median, "SRM", units),
    )


def show_becomings(found: Sequence[BecomingView], units: Units) -> None:
    """Styles within reach, those nearly so behind them."""
    rows = [
        (
            f"{one.name} ({one.code})",
            f"{one.made.yeast}; {divide_words.own_text(one.made, units)}",
            divide_words.near_text(one.made, units),
            words.odds(one.made.odds_all),
        )
        for one in found
    ]
    print_table("", ("", "with yeast, and of its own", "where it lies", "within all"), rows)
    print_sentence(divide_words.NUMBERS_ALONE)


def show_larder(view: LarderView, units: Units) -> None:
    """The shopping list, what moved, and what the wort makes of it."""
    bought = [(one.of, *larder_words.purchase_cells(one, view.currency, units)) for one in view.purchases]
    print_table("To buy", ("", "buy", "used", "at hand", "left over", "cost"), bought)
    print_sentence(f"In all {larder_words.money(view.cost, view.currency)}.")
    missing = larder_words.missing_sentence(view, units)
    if missing:
        print_sentence(missing)
    if view.moved:
        print_heading("Moved to what packs give")
        for moved in view.moved:
            print_sentence(larder_words.moved_sentence(moved, units))
        print_table("", ("", "as planned", "with these weights"), larder_words.wort_rows(view, units))


def show_fillings(found: Sequence[FillingSet], units: Units) -> None:
    """Sets of portions, best first."""
    if not found:
        click.echo("No set of these fermenters and packages comes near that many litres.")
    for number, one in enumerate(found, 1):
        print_heading(f"{number}. {larder_words.set_heading(one, units)}")
        for filling in one.fillings:
            print_sentence(larder_words.filling_text(filling, units))
