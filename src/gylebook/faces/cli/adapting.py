"""Carry a beer over: to another brewery, to another size, to another brewer.

In:  files, options.  Out: words, JSON, a plan file, a PDF or a parcel; exit code 1 where a limit's odds are
below what the plan asks for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from gylebook.errors import Problem, Refused
from gylebook.faces.answers import limit_answer, printed
from gylebook.faces.cli import report, report_adapt
from gylebook.faces.cli.looking import outlook_of
from gylebook.faces.cli.options import Units, brewery_beside, json_option, plan_options, units_option
from gylebook.faces.cli.planning import write_bytes
from gylebook.figures.units import Dimension, read
from gylebook.tasks.adapt import Adapted, adapt, brewed_of
from gylebook.tasks.adapt_text import adapted_text
from gylebook.tasks.adapt_view import AdaptView, adapt_view
from gylebook.tasks.files import load_brewery
from gylebook.tasks.outlook import DRAWS, SEED
from gylebook.tasks.parcels import load_parcel, packed

LEAST_L, MOST_L = 0.5, 5000.0


def _carrying_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """--litres, --times, --keep-colour, --out, --pdf: how a beer is carried over, and where it is put."""
    for decorate in (
        click.option(
            "--pdf", type=click.Path(path_type=Path), help="Write both plans side by side as a PDF."
        ),
        click.option(
            "--out", "-o", type=click.Path(path_type=Path), help="Write the new plan as a plan file."
        ),
        click.option(
            "--keep-colour", is_flag=True, help="Move the share of dark malts so that colour stays."
        ),
        click.option("--times", type=float, help="So many times as much, like 2."),
        click.option("--litres", help="Into all fermenters, like “40 L”; as much as before if left out."),
    ):
        command = decorate(command)
    return command


@click.command(name="adapt")
@plan_options
@click.option(
    "--onto", type=click.Path(path_type=Path), help="Brewery file it goes to; the same brewery if left out."
)
@_carrying_options
@units_option
@json_option
def adapt_command(
    plan: Path,
    brewery: Path | None,
    draws: int,
    seed: int,
    onto: Path | None,
    litres: str | None,
    times: float | None,
    keep_colour: bool,
    out: Path | None,
    pdf: Path | None,
    units: Units,
    as_json: bool,
) -> int:
    """Brew PLAN's beer on another brewery, or more or less of it on the same.

    Gravity, shares of the grist, bitterness, ions, mash pH, rests and pitch rate stay; the amounts are solved
    again with the other brewery's own figures. Late and dry hops, sugars and teas go by the litre.
    """
    before = brewed_of(outlook_of(plan, brewery, draws, seed))
    gear = load_brewery(onto if onto is not None else brewery_beside(plan, brewery))
    found = adapt(
        before, gear, litres=_litres(litres), times=times, keep_colour=keep_colour, draws=draws, seed=seed
    )
    return _told(found, out, pdf, units, as_json)


@click.command()
@plan_options
@click.option(
    "--out", "-o", type=click.Path(path_type=Path), required=True, help="Where to write the parcel."
)
@click.option("--as", "sender", default="", help="The name to go by; none if left out.")
@click.option("--note", default="", help="A line to whoever receives it.")
def send(plan: Path, brewery: Path | None, draws: int, seed: int, out: Path, sender: str, note: str) -> int:
    """Pack PLAN into one file for another brewer.

    It holds the plan, what the beer must be, and what is forecast here. It tells nothing of you but the name
    that you choose. A seal finds damage on the way; it does not prove who packed it.
    """
    write_bytes(out, packed(outlook_of(plan, brewery, draws, seed), sender=sender, note=note).encode())
    click.echo(f"written: {out}")
    return 0


@click.command()
@click.argument("parcel", type=click.Path(path_type=Path))
@click.option(
    "--brewery",
    "-b",
    type=click.Path(path_type=Path),
    help="Your brewery file; brewery.toml here if left out.",
)
@click.option("--draws", type=int, default=DRAWS, show_default=True, help="Futures to draw.")
@click.option("--seed", type=int, default=SEED, show_default=True, help="Same seed, same answer.")
@_carrying_options
@units_option
@json_option
def receive(
    parcel: Path,
    brewery: Path | None,
    draws: int,
    seed: int,
    litres: str | None,
    times: float | None,
    keep_colour: bool,
    out: Path | None,
    pdf: Path | None,
    units: Units,
    as_json: bool,
) -> int:
    """Open a PARCEL from another brewer and adapt its beer to your brewery.

    The seal is checked first: it finds damage, and proves no author.
    """
    received = load_parcel(parcel)
    gear = load_brewery(brewery if brewery is not None else Path("brewery.toml"))
    found = adapt(
        received.before,
        gear,
        litres=_litres(litres),
        times=times,
        keep_colour=keep_colour,
        draws=draws,
        seed=seed,
    )
    if not as_json:
        report_adapt.show_received(received, units)
    about = {"sender": received.sender, "note": received.note, "made_by": received.made_by}
    return _told(found, out, pdf, units, as_json, {"parcel": about})


def _litres(typed: str | None) -> float | None:
    if typed is None:
        return None
    litres = read(typed, Dimension.VOLUME, where="--litres")
    if not LEAST_L <= litres <= MOST_L:
        raise Refused((Problem("--litres", f"{litres:g} L", f"take {LEAST_L:g} L to {MOST_L:g} L"),))
    return litres


def _told(
    found: Adapted,
    out: Path | None,
    pdf: Path | None,
    units: Units,
    as_json: bool,
    more: dict[str, Any] | None = None,
) -> int:
    view = adapt_view(found)
    if out is not None:
        write_bytes(out, adapted_text(found).encode())
    if pdf is not None:
        from gylebook.faces.sheets.adapt import adapt_sheet

        write_bytes(pdf, adapt_sheet(view, units=units))
    if as_json:
        click.echo(printed({**adapt_answer(view, units), **(more or {})}))
    else:
        report_adapt.show_adapted(view, units)
        report.show_limits(found.outlook, units)
    return 0 if view.limits_kept else 1


def adapt_answer(view: AdaptView, units: Units) -> dict[str, Any]:
    """Both plans side by side, in base units; findings also in words."""
    answer = asdict(view)
    answer["numbers"] = {pair.name: {"before": pair.before, "after": pair.after} for pair in view.numbers}
    answer["limits"] = [limit_answer(limit) for limit in view.limits]
    for told, finding in zip(answer["findings"], view.findings, strict=True):
        told["in_words"] = report_adapt.finding_sentence(finding, units)
    return answer


__all__ = ["adapt_command", "receive", "send"]
