"""Pack a portion of a brew: sugar, bottles, kegs, the odds, its sheet and labels."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from gylebook.errors import Problem, Refused
from gylebook.faces import pack_words
from gylebook.faces.answers import printed
from gylebook.faces.cli.options import Command, Units, book_option, json_option, units_option
from gylebook.faces.cli.planning import write_bytes
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.findings import RISK, caution_sentence
from gylebook.faces.moments import moment
from gylebook.faces.pack_form import SUGARS, PackTyped, read_wanted
from gylebook.tasks.brews import look_at_brew
from gylebook.tasks.labels import label_view
from gylebook.tasks.own_tables import tables_of
from gylebook.tasks.pack_views import PackView
from gylebook.tasks.packing import pack_view, write_packed


def packing_options(command: Command) -> Command:
    """What is packed, and how."""
    for decorate in (
        click.option(
            "--labels", type=click.Path(path_type=Path), help="Card and labels into this PDF, once packed."
        ),
        click.option("--sheet", type=click.Path(path_type=Path), help="The priming sheet into this PDF."),
        click.option("--write", is_flag=True, help="Write down that it is packed so."),
        click.option("--at", help="When it is packed; now if not given."),
        click.option(
            "--reason", default="", help="Why it is packed though the odds are above the accepted ones."
        ),
        click.option("--accept", default="", help="Odds that are accepted, 1 in 1,000 or fewer."),
        click.option("--warmest", default="", help="The warmest the beer was since its gas stopped rising."),
        click.option("--litres", default="", help="Beer to pack, as read; else as foretold."),
        click.option(
            "--scale", default="1 g", show_default=True, help="What the last digit of the scale shows."
        ),
        click.option(
            "--prime-kegs", is_flag=True, help="Kegs get sugar of their own and no gas from a cylinder."
        ),
        click.option(
            "--each", is_flag=True, help="Sugar is weighed for each bottle and not for all in bulk."
        ),
        click.option("--wort", default="", help="Gravity of the fresh wort that primes, like 1.050."),
        click.option(
            "--sugar", type=click.Choice(SUGARS), default="sucrose", show_default=True, help="What primes."
        ),
        click.option("--serve", default="5 °C", show_default=True, help="Where kegs are served."),
        click.option(
            "--store", default="25 °C", show_default=True, help="The warmest the bottles will ever stand at."
        ),
        click.option("--volumes", default="", help="Volumes of CO2 wanted; the plan's if not given."),
        click.option(
            "--keg", "kegs", multiple=True, help='What a keg holds, like "19 L"; may be given again.'
        ),
        click.option(
            "--bottles",
            multiple=True,
            help='Like "24 beer bottle" or "all thin bottle, 0.33 L"; may be given again.',
        ),
    ):
        command = decorate(command)
    return command


@click.command()
@book_option
@packing_options
@units_option
@json_option
@click.argument("name")
@click.argument("portion")
def pack(
    location: str,
    bottles: tuple[str, ...],
    kegs: tuple[str, ...],
    volumes: str,
    store: str,
    serve: str,
    sugar: str,
    wort: str,
    each: bool,
    prime_kegs: bool,
    scale: str,
    litres: str,
    warmest: str,
    accept: str,
    reason: str,
    at: str | None,
    write: bool,
    sheet: Path | None,
    labels: Path | None,
    units: Units,
    as_json: bool,
    name: str,
    portion: str,
) -> int:
    """Pack PORTION of the brew NAME into bottles and kegs, with the odds that any bottle is overcome.

    Above the odds that are accepted no sugar is told and no sheet is printed, unless a reason is given.
    With --labels alone, card and labels of a portion that is packed already are printed.
    """
    standing = look_at_brew(location, name)
    if not (bottles or kegs):
        if labels is None:
            raise Refused((Problem("packages", "none was named", 'try --bottles "all beer bottle"'),))
        _print_labels(labels, location, name, portion, units)
        click.echo(printed({"written": str(labels)}) if as_json else f"written: {labels}")
        return 0
    wanted = read_wanted(
        PackTyped(
            bottles=bottles, kegs=kegs, volumes=volumes, sugar=sugar, wort=wort, prime_kegs=prime_kegs,
            way="bottle by bottle" if each else "in bulk", store=store, serve=serve, scale=scale,
            litres=litres, warmest=warmest, accepted=accept, reason=reason,
        )
    )  # fmt: skip
    when, tables = moment(at), tables_of(location)
    view = pack_view(standing, portion, wanted, tables, when)
    if as_json:
        click.echo(printed({**asdict(view), "in_words": pack_words.verdict_sentence(view, units)}))
    else:
        show_packing(view, units)
    if view.refused:
        return 1
    if sheet is not None:
        from gylebook.faces.sheets.pack import priming_sheet

        write_bytes(sheet, priming_sheet(view, units))
        _said(f"written: {sheet}", as_json)
    if write:
        event = write_packed(location, standing, portion, wanted, tables, when, device="command line")
        _said(f"written down as number {event.seq}", as_json)
    if labels is not None:
        _print_labels(labels, location, name, portion, units)
        _said(f"written: {labels}", as_json)
    return 0


def show_packing(view: PackView, units: Units) -> None:
    """Everything of one portion that is packed."""
    print_heading(f"{view.name}, to be packed")
    print_sentence(pack_words.verdict_sentence(view, units))
    for way in view.ways_out if view.refused else ():
        print_sentence(f"- {pack_words.way_out_sentence(way, view, units)}")
    for sentence in (
        pack_words.against_sentence(view),
        pack_words.bulk_sentence(view, units),
        pack_words.coarse_sentence(view),
        pack_words.litres_sentence(view, units),
        pack_words.yeast_sentence(view),
    ):
        if sentence:
            print_sentence(sentence)
    click.echo()
    rows = [
        (
            pack_words.bottles_text(lot, units),
            pack_words.each_text(lot, view, units),
            pack_words.lot_pressure(lot, units),
            pack_words.pressure(lot.limit_bar, units),
            pack_words.rare(lot.odds, view.draws),
        )
        for lot in view.lots
    ]
    print_table("", ("Bottles", "sugar", "pressure on the warmest day", "limit", "odds above"), rows)
    for keg in view.kegs:
        print_sentence(pack_words.keg_sentence(keg, view, units))
        if keg.sugar == 0.0:
            print_sentence(pack_words.line_sentence(keg, units))
    print_sentence(pack_words.rest_sentence(view, units))
    print_sentence(pack_words.counted_sentence(view, units))
    for caution in view.cautions:
        print_sentence(f"{RISK} {caution_sentence(caution)}")


def _print_labels(path: Path, location: str, name: str, portion: str, units: Units) -> None:
    from gylebook.faces.sheets.pack import label_sheet

    write_bytes(path, label_sheet(label_view(look_at_brew(location, name), portion), units))


def _said(text: str, as_json: bool) -> None:
    """A line about what was written; beside JSON it goes where it does not disturb."""
    click.echo(text, err=as_json)
