"""Show what is in the liquor and where it brings the mash; judge the water reports of a brewery."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from gylebook.errors import Problem, Refused
from gylebook.faces import findings, liquor_words, words
from gylebook.faces.answers import printed
from gylebook.faces.cli.looking import outlook_of
from gylebook.faces.cli.options import Units, json_option, plan_options, readings_option, units_option
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.tasks.files import load_brewery
from gylebook.tasks.liquor import liquor_view, report_views
from gylebook.tasks.liquor_views import IonsView, LiquorView, ReportView


@click.command()
@plan_options
@readings_option
@units_option
@json_option
def liquor(
    plan: Path,
    brewery: Path | None,
    draws: int,
    seed: int,
    readings: Path | None,
    units: Units,
    as_json: bool,
) -> int:
    """Show the brewing liquor of PLAN: ions, salts and acid, the pH of mash and rinse.

    Salts are found for the ions that the plan wants, acid or alkali for the mash pH that it aims at.
    """
    outlook = outlook_of(plan, brewery, draws, seed, readings)
    found = liquor_view(outlook)
    if found is None:
        accepted = 'give the brewery file a [waters.KEY.report] with at least alkalinity = "180 mg/L CaCO3"'
        raise Refused((Problem("waters", "no water of this brewery has a report", accepted),))
    if as_json:
        click.echo(printed(asdict(found)))
    else:
        show_liquor(found, units)
    return 0


def show_liquor(found: LiquorView, units: Units) -> None:
    """Ions, doses and pH of a liquor."""
    _show_ions(found, units)
    for sentence in liquor_words.outside_sentences(found):
        print_sentence(sentence)
    for place in found.liquors[1:]:
        if sentence := liquor_words.beyond_sentence(place):
            print_sentence(sentence)
    click.echo()
    doses = [
        (
            f"{findings.RISK + ' ' if dose.caution else ''}{dose.of}",
            liquor_words.dose_text(dose),
            liquor_words.into_words(dose, found),
        )
        for dose in found.doses
    ]
    print_table("", ("Doses", "", "into"), doses)
    cautions = [dose.caution for dose in found.doses if dose.caution]
    cautions += [
        "coarse scale" if dose.unit == "g" else "coarse measure" for dose in found.doses if dose.coarse
    ]
    for key in dict.fromkeys(cautions):
        print_sentence(f"{findings.RISK} {findings.caution_sentence(key)}")
    sentences = [
        *liquor_words.mash_ph_sentences(found),
        liquor_words.rinse_sentence(found),
        liquor_words.lactate_sentence(found),
    ]
    if any(sentences):
        print_heading("pH")
    for sentence in sentences:
        if sentence:
            print_sentence(sentence)


def _show_ions(found: LiquorView, units: Units) -> None:
    """Each ion as drawn, in the mash and in the rinse, and what was wanted of both."""
    names = " and ".join(f"{words.share(share)} {name}" for name, share in found.waters if share)
    treated = found.liquors[1:]
    alike = all(place.wanted == treated[0].wanted for place in treated)
    asked = treated[:1] if alike else treated
    ions = list(dict.fromkeys(ion for place in found.liquors for ion in (*place.mg_per_l, *place.wanted)))
    rows = []
    for ion in ions:
        if ion == "alkalinity":
            continue
        cells = [
            words.fixed(place.mg_per_l[ion].median, 0) if ion in place.mg_per_l else ""
            for place in found.liquors
        ]
        rows.append((ion, *cells, *(_wanted(place, ion) for place in asked)))
    left = [words.fixed(place.alkalinity.median, 0) for place in found.liquors]
    rows.append(("alkalinity left, as CaCO3", *left, *(_wanted(place, "alkalinity") for place in asked)))
    residual = found.liquors[0].residual_alkalinity
    if residual is not None:
        blanks = [""] * (len(found.liquors) - 1 + len(asked))
        rows.append(("residual alkalinity, as CaCO3", words.fixed(residual.median, 0), *blanks))
    called = {"mash": "kettle"} if found.mash_ph is None else {}
    headings = [
        called.get(place.where, place.where)
        + (f", {words.volume(place.litres, units)}" if place.litres else "")
        for place in found.liquors
    ]
    wanted = ["wanted"] if alike else [f"wanted, {place.where}" for place in asked]
    print_table(f"Liquor of {names}", ("mg/L", *headings, *wanted), rows)


def _wanted(place: IonsView, ion: str) -> str:
    return words.fixed(place.wanted[ion], 0) if ion in place.wanted else ""


@click.command()
@click.argument("brewery", type=click.Path(path_type=Path))
@json_option
def waters(brewery: Path, as_json: bool) -> None:
    """Judge the water reports in the file BREWERY: what they hold, and whether their charges agree."""
    found = report_views(load_brewery(brewery))
    if as_json:
        click.echo(printed({"waters": [asdict(view) for view in found]}))
        return
    if not found:
        click.echo("No water of this brewery has a report yet: add a [waters.KEY.report] to its file.")
    for view in found:
        _show_report(view)


def _show_report(view: ReportView) -> None:
    balanced = view.balanced_mg_per_l or {}
    rows = [
        (ion, words.fixed(amount, 1), words.fixed(balanced[ion], 1) if ion in balanced else "")
        for ion, amount in view.mg_per_l.items()
    ]
    even = balanced.get("alkalinity")
    rows.append(
        (
            "alkalinity, as CaCO3",
            words.fixed(view.alkalinity, 0),
            "" if even is None else words.fixed(even, 0),
        )
    )
    rows.append(("hardness, as CaCO3", words.fixed(view.hardness, 0), ""))
    rows.append(("residual alkalinity, as CaCO3", words.fixed(view.residual_alkalinity, 0), ""))
    rows.append(("pH", words.fixed(view.ph, 1), ""))
    columns = ("mg/L", "as told", "if each gave way alike" if balanced else "")
    print_table(view.name, columns if balanced else columns[:2], [r if balanced else r[:2] for r in rows])
    print_sentence(liquor_words.balance_sentence(view))
    for number, suspect in enumerate(view.suspects, 1):
        print_sentence(f"{number}. {liquor_words.suspect_sentence(suspect)}", indent=4)
    for sentence in liquor_words.doubt_sentences(view):
        print_sentence(sentence)
    click.echo()
