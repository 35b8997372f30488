"""Print blind tests and what was tasted.

In:  the views of `tasks.tasting`, `tasks.tasting_result` and `tasks.impressions`.  Out: text on the terminal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import click

from gylebook.brewery.tasting import Poured
from gylebook.faces import tasting_words
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.findings import RISK
from gylebook.faces.words import Units
from gylebook.tasks.impressions import Impression
from gylebook.tasks.tasting import TastingInBook
from gylebook.tasks.tasting_result import Promise, Result


def show_promise(found: Promise, units: Units) -> None:
    """What tasters would notice, best way first."""
    print_sentence(tasting_words.promise_sentence(found), indent=0)
    print_sentence(tasting_words.size_sentence(found), indent=0)
    print_heading("Ways to taste")
    for offer in found.offers:
        print_sentence(tasting_words.offer_sentence(offer, found.pair_named, units))
    click.echo()
    print_sentence(tasting_words.needed_sentence(found), indent=0)


def show_set_up(found: TastingInBook, units: Units) -> None:
    """What was set up, and what to see to; not the key."""
    click.echo(f"tasting {found.number}: {tasting_words.title(found.tasting)}")
    print_sentence(tasting_words.kind_sentence(found.tasting.kind, found.tasting.trait))
    print_sentence(tasting_words.needs_sentence(found, units))
    for caution in tasting_words.CAUTIONS:
        print_sentence(f"{RISK} {caution}")


def show_key(found: TastingInBook) -> None:
    """Which beer stands under which code."""
    names = tasting_words.names_of(found.tasting)
    print_table(
        "The key: from left to right",
        ("taster", "set", "glasses"),
        [
            (
                f"{one.taster}",
                f"{one.round}",
                ", ".join(f"{code} {names[beer]}" for code, beer in zip(one.codes, one.beers, strict=True)),
            )
            for one in found.tasting.sets
        ],
    )


def show_result(found: TastingInBook, result: Result | None) -> None:
    """What the answers show."""
    print_sentence(tasting_words.progress_sentence(found), indent=0)
    if result is None:
        return
    for sentence in tasting_words.result_sentences(found, result):
        print_sentence(sentence, indent=0)


def show_list(tastings: Sequence[TastingInBook]) -> None:
    """Every test, a line each."""
    if not tastings:
        click.echo("No tasting was set up in this book yet.")
    for one in tastings:
        progress = tasting_words.progress_sentence(one)
        click.echo(f"{one.number}: {one.at[:10]}, {tasting_words.title(one.tasting)}. {progress}")


def show_impressions(beer: Poured, told: Sequence[Impression]) -> None:
    """What was tasted in a portion, the newest first."""
    click.echo(f"{beer.name} of {beer.brew}")
    if not told:
        print_sentence("Nobody wrote down how it tastes yet.")
    for one in told:
        by = f", {one.who}" if one.who else ""
        print_heading(f"{one.number}: {one.at[:10]}{by}")
        for line in tasting_words.impression_lines(one):
            print_sentence(line)


def tasting_answer(found: TastingInBook, *, key: bool) -> dict[str, Any]:
    """A test for other programs; which beer stands under which code only with the `key`."""
    told = asdict(found.tasting)
    if not key:
        del told["seed"]
        told["sets"] = [{**one, "beers": None} for one in told["sets"]]
    return {
        "number": found.number,
        "at": found.at,
        **told,
        "glasses": found.glasses,
        "beer_ml": found.beer_ml,
        "missing": found.missing,
        "answers": [{**asdict(one.answer), "who": one.event.who} for one in found.answers],
    }
