"""Set blind tests up, take their answers, say what they show; write down how a beer tastes."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import get_args
from uuid import UUID

import click

from gylebook.brewery.tasting import GLASS_ML, STRENGTHS, TestKind
from gylebook.errors import Problem, Refused
from gylebook.faces import tasting_words
from gylebook.faces.answers import printed
from gylebook.faces.cli import report_tasting
from gylebook.faces.cli.options import Units, book_option, json_option, units_option
from gylebook.faces.cli.planning import write_bytes
from gylebook.faces.moments import moment
from gylebook.figures.units import Dimension, read
from gylebook.tasks.impressions import impressions_of, write_impression
from gylebook.tasks.tasting import (
    call_off,
    set_up,
    tasting_in_book,
    tastings_in_book,
    write_answer,
)
from gylebook.tasks.tasting_result import promise, result_of

STRENGTH_HELP = "; ".join(f"{n} {word}" for n, word in enumerate(STRENGTHS))


@click.group()
def taste() -> None:
    """Taste blind and say what the answers show; write down how a beer tastes."""


@taste.command()
@click.option("--trait", default="", help="The one thing to compare, like sourness; if it can be named.")
@click.option("--open-end", is_flag=True, help="Of a trait: nobody says beforehand which beer has more.")
@units_option
@json_option
@click.argument("tasters", type=click.IntRange(1, 60))
def panel(tasters: int, trait: str, open_end: bool, units: Units, as_json: bool) -> None:
    """Say what so many TASTERS would notice, by which test, before anything is poured."""
    found = promise(tasters, trait=bool(trait.strip()), either_way=open_end)
    if as_json:
        click.echo(printed(asdict(found)))
    else:
        report_tasting.show_promise(found, units)


@taste.command("set-up")
@book_option
@click.option("--by", "kind", type=click.Choice(get_args(TestKind)), default="tetrad", show_default=True,
              help="Kind of test.")  # fmt: skip
@click.option("--tasters", type=int, required=True, help="How many taste.")
@click.option("--times", "rounds", type=int, default=1, show_default=True, help="Sets for each of them.")
@click.option("--against", "others", nargs=2, multiple=True, metavar="BREW PORTION",
              help="A beer of another brew.")  # fmt: skip
@click.option("--trait", default="", help="What a pair or a ranking is judged by; liking if not given.")
@click.option("--more", "foretold", default=None,
              help="Of a pair: the portion said beforehand to have more of the trait.")  # fmt: skip
@click.option("--glass", default=f"{GLASS_ML:g} mL", show_default=True, help="How much is poured.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=None,
              help="Same seed, same glasses; by luck if not given.")  # fmt: skip
@click.option("--at", help="When; now if not given.")
@click.option("--out", "-o", type=click.Path(path_type=Path), help="Print key and slips into this PDF.")
@units_option
@json_option
@click.argument("brew")
@click.argument("portions", nargs=-1, required=True)
def set_up_command(
    location: str,
    kind: TestKind,
    tasters: int,
    rounds: int,
    others: tuple[tuple[str, str], ...],
    trait: str,
    foretold: str | None,
    glass: str,
    seed: int | None,
    at: str | None,
    out: Path | None,
    units: Units,
    as_json: bool,
    brew: str,
    portions: tuple[str, ...],
) -> None:
    """Set up a blind test of PORTIONS of BREW; the key stands on the sheet alone."""
    beers = [*((brew, portion) for portion in portions), *others]
    keys = [portion for _, portion in beers]
    if foretold is not None and foretold not in keys:
        raise Refused((Problem("--more", f"“{foretold}”", f"is one of {', '.join(keys)}"),))
    found = set_up(
        location,
        kind,
        beers,
        tasters=tasters,
        rounds=rounds,
        trait=trait,
        foretold=None if foretold is None else keys.index(foretold),
        seed=seed,
        glass_ml=1000.0 * read(glass, Dimension.VOLUME, where="--glass"),
        at=moment(at),
    )
    if out is not None:
        _print(location, found.number, units, out)
    if as_json:
        click.echo(printed(report_tasting.tasting_answer(found, key=False)))
        return
    report_tasting.show_set_up(found, units)
    if out is not None:
        click.echo(f"written: {out}")


@taste.command("sheet")
@book_option
@units_option
@click.option("--out", "-o", type=click.Path(path_type=Path), required=True, help="The PDF to write.")
@click.argument("number", type=int)
def sheet(location: str, units: Units, out: Path, number: int) -> None:
    """Print tasting NUMBER: the key on a page for the one who pours, and a slip for every set."""
    _print(location, number, units, out)
    click.echo(f"written: {out}")


@taste.command("answer")
@book_option
@click.option("--who", default="", help="Name of the taster.")
@click.option("--sure", type=click.IntRange(1, 3), help="1 a guess, 2 rather, 3 certain.")
@click.option("--words", default="", help="What the taster says of it.")
@click.option("--instead", is_flag=True, help="In the place of the answer that this set has.")
@click.option("--reason", default="", help="Why it takes the place of the earlier one.")
@click.option("--at", help="When; now if not given.")
@click.option("--id", "id_", type=click.UUID, help="An id of the sender's own: sent twice, kept once.")
@click.argument("number", type=int)
@click.argument("codes", nargs=-1, required=True)
def answer(
    location: str,
    who: str,
    sure: int | None,
    words: str,
    instead: bool,
    reason: str,
    at: str | None,
    id_: UUID | None,
    number: int,
    codes: tuple[str, ...],
) -> None:
    """Write down the CODES that a taster picked in tasting NUMBER; they tell whose set it is."""
    found = write_answer(
        location, number, codes,
        at=moment(at), who=who, sure=sure or 0, words=words, instead=instead, reason=reason, id=id_,
    )  # fmt: skip
    click.echo(tasting_words.progress_sentence(found))


@taste.command("result")
@book_option
@click.option("--early", is_flag=True, help="Count although answers are still to come.")
@click.option("--key", is_flag=True, help="Show which beer stood under which code.")
@json_option
@click.argument("number", type=int)
def result(location: str, early: bool, key: bool, as_json: bool, number: int) -> None:
    """Say what the answers of tasting NUMBER show, once all are in."""
    found = tasting_in_book(location, number)
    told = result_of(found) if early or not found.missing else None
    if as_json:
        shown = report_tasting.tasting_answer(found, key=key)
        click.echo(printed({**shown, "result": None if told is None else asdict(told)}))
        return
    click.echo(f"tasting {found.number}: {tasting_words.title(found.tasting)}")
    report_tasting.show_result(found, told)
    if found.missing and not early:
        click.echo("The result is told when all are in, or with --early.")
    if key:
        report_tasting.show_key(found)


@taste.command("call-off")
@book_option
@click.option("--reason", default="", help="Why.")
@click.option("--at", help="When; now if not given.")
@click.argument("number", type=int)
def call_off_command(location: str, reason: str, at: str | None, number: int) -> None:
    """Take tasting NUMBER back, set up wrongly: it stays in the book and is shown no more."""
    call_off(location, number, at=moment(at), reason=reason)
    click.echo(f"tasting {number} is called off")


@taste.command("list")
@book_option
@json_option
def list_(location: str, as_json: bool) -> None:
    """All tastings of the book, the newest first."""
    found = tastings_in_book(location)
    if as_json:
        click.echo(printed([report_tasting.tasting_answer(one, key=False) for one in found]))
    else:
        report_tasting.show_list(found)


@taste.command("note")
@book_option
@click.option("--trait", "traits", multiple=True, nargs=2, metavar="TRAIT 0-4",
              help=f"How much of it there is: {STRENGTH_HELP}.")  # fmt: skip
@click.option("--off", "off", multiple=True, help="An off-flavour by its trade name, like diacetyl.")
@click.option("--who", default="", help="Who tasted.")
@click.option("--at", help="When; now if not given.")
@click.option("--corrects", type=int, help="Number of the earlier note that this one replaces.")
@click.option("--reason", default="", help="Why it replaces the earlier one.")
@json_option
@click.argument("brew")
@click.argument("portion")
@click.argument("words", required=False, default="")
def note(
    location: str,
    traits: tuple[tuple[str, str], ...],
    off: tuple[str, ...],
    who: str,
    at: str | None,
    corrects: int | None,
    reason: str,
    as_json: bool,
    brew: str,
    portion: str,
    words: str,
) -> None:
    """Write down how PORTION of BREW tastes, in WORDS; without anything, read what was written."""
    if words or traits or off:
        write_impression(
            location, brew, portion,
            words=words, traits=_strengths(traits), off_flavours=off, at=moment(at), who=who,
            corrects=corrects, reason=reason,
        )  # fmt: skip
    beer, told = impressions_of(location, brew, portion)
    if as_json:
        click.echo(printed({"beer": asdict(beer), "notes": [asdict(one) for one in told]}))
    else:
        report_tasting.show_impressions(beer, told)


def _strengths(traits: tuple[tuple[str, str], ...]) -> dict[str, int]:
    for trait, strength in traits:
        if strength not in ("0", "1", "2", "3", "4"):
            raise Refused((Problem(trait, f"“{strength}”", f"is one of {STRENGTH_HELP}"),))
    return {trait: int(strength) for trait, strength in traits}


def _print(location: str, number: int, units: Units, out: Path) -> None:
    from gylebook.faces.sheets.glass import glass_sheet

    write_bytes(out, glass_sheet(tasting_in_book(location, number), units))
