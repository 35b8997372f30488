"""Print outlooks in words: numbers with their ranges, limits, changes, remedies, the running order.

In:  outlooks and views.  Out: text on the terminal.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import click

from gylebook.faces import findings, fix_words, telling, words
from gylebook.faces.amount_words import amount_rows
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.named_numbers import unit_of_name
from gylebook.faces.words import Units
from gylebook.figures.draws import Summary
from gylebook.tasks.fixes import FixView
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.run_view import aim_views, boundary_view, limit_views, run_view
from gylebook.tasks.solved import amounts_answer
from gylebook.tasks.views import BoundaryView, LimitView, WayView
from gylebook.tasks.yeast_view import ENOUGH_YEAST, yeast_views

MIDDLE = "middle (90 of 100 lie between)"
LINES = (
    ("mash.volume_l", "Mash, standing hot with its grain"),
    ("mash.strike_temperature_c", "Strike temperature"),
    ("mash.ph", "Mash, a cooled sample"),
    ("mash.gravity", "First wort"),
    ("bag.lift_kg", "Bag at lifting"),
    ("grain.retained_l_per_kg", "Wort the grain really holds"),
    ("grain.absorption_l_per_kg", "Liquor in less wort out (“absorption”)"),
    ("rinse.level_l", "Second vessel, standing hot with the bag"),
    ("kettle.preboil.volume_l", "Kettle before the boil, at {cold}"),
    ("kettle.preboil.gravity", "Gravity before the boil"),
    ("kettle.end.volume_l", "Kettle after the boil, at {cold}"),
    ("kettle.end.gravity", "Gravity after the boil"),
    ("fermenters.volume_l", "Into the fermenters"),
    ("og", "Original gravity"),
    ("ibu", "Bitterness"),
    ("efficiency.conversion", "Efficiency: grain to mash liquid"),
    ("efficiency.lauter", "Efficiency: mash liquid to kettle"),
    ("efficiency.kettle", "Efficiency: grain to kettle"),
    ("efficiency.fermenter", "Efficiency: grain to fermenters"),
    ("efficiency.lost_undissolved", "  lost: never dissolved"),
    ("efficiency.lost_in_bag", "  lost: held by the bag"),
    ("efficiency.lost_after", "  lost: left after the kettle filled"),
    ("kettle.stays.trub_l", "Kept by trub"),
    ("kettle.stays.hops_l", "Kept by hops"),
    ("kettle.stays.kettle_l", "Kept by kettle, hoses, chiller"),
    ("kettle.boil_off_l_per_h", "Boil-off"),
)
Fixes = Mapping[tuple[str, str | None], Sequence[FixView]]
COLD_C = 20.0  # at which a volume is told unless it stands hot
PORTIONS_ABREAST = 3  # as many as a terminal of 80 columns holds
PORTION_LINES = (
    ("volume_l", "into it"),
    ("og", "original"),
    ("fg", "final"),
    ("abv", "alcohol"),
    ("ibu", "bitter"),
    ("packaged_l", "packaged"),
)


def show_forecast(outlook: Outlook, units: Units) -> None:
    """The gyle step by step, then its portions."""
    cold = words.temperature(COLD_C, units)
    rows = [
        (what.format(cold=cold), told(outlook, name, units))
        for name, what in LINES
        if name in outlook.numbers
    ]
    count = words.count(len(outlook.latents))
    print_table(f"{outlook.plan.name}: forecast of {count} draws", ("", MIDDLE), rows)
    for start in range(0, len(outlook.plan.portions), PORTIONS_ABREAST):
        click.echo()
        abreast = outlook.plan.portions[start : start + PORTIONS_ABREAST]
        lines = [
            (_headed(what, cell, units), *(_bare(outlook, portion.key, cell, units) for portion in abreast))
            for cell, what in PORTION_LINES
        ]
        print_table("", ("Portions", *(portion.name for portion in abreast)), lines)


def told(outlook: Outlook, name: str, units: Units) -> str:
    """One number with its range."""
    return told_of(name, outlook.numbers[name], units)


def told_of(name: str, summary: Summary, units: Units) -> str:
    """The same, of any summary."""
    unit = unit_of_name(name)
    if unit == "share":
        return f"{words.share(summary.median)} ({words.share(summary.low)} – {words.share(summary.high)})"
    return words.median_and_interval(summary, unit, units)


def _headed(what: str, cell: str, units: Units) -> str:
    """A line's heading with the unit that its numbers leave out."""
    unit = words.unit_word(unit_of_name(f"portion.any.{cell}"), units)
    return f"{what}, {unit}" if unit else what


def _bare(outlook: Outlook, portion: str, cell: str, units: Units) -> str:
    """A portion's number with its range, without the unit."""
    name = f"portion.{portion}.{cell}"
    summary, unit = outlook.numbers[name], unit_of_name(name)
    return f"{words.number(summary.median, unit, units)} ({words.interval(summary, unit, units)})"


def show_aims(outlook: Outlook, units: Units) -> None:
    """How the forecast stands to each aim."""
    print_heading("Aims")
    for aim in aim_views(outlook):
        print_sentence(findings.aim_sentence(aim, units))


def show_limits(outlook: Outlook, units: Units) -> None:
    """Limits that are not kept as asked, with what would help, and how much could be carried."""
    views = limit_views(outlook)
    failing = [limit for limit in views if not limit.kept]
    print_heading("Limits")
    for limit in failing:
        print_sentence(findings.limit_sentence(limit, units))
        print_sentence(telling.help_sentence(limit), indent=4)
    if not failing:
        asked = words.odds(outlook.plan.aims.odds)
        click.echo(f"  All {words.spelled(len(views))} limits are kept at least {asked}.")
    _show_boundary(boundary_view(outlook), units)


def show_every_limit(outlook: Outlook, units: Units, fixes: Fixes | None = None) -> None:
    """Levels against the rim, every limit with its odds, and the most that could be carried.

    `fixes` are what would keep a limit, by its name and portion, where that was asked.
    """
    print_table("Levels", ("", "stands at", "of", "below the rim"), list(_levels(outlook, units)))
    click.echo()
    rows = []
    for limit in limit_views(outlook):
        mark = "" if limit.kept else f"{findings.RISK} "
        spare = findings.to_spare(limit, units)
        kept = words.odds_in_a_column(limit.odds_kept)
        rows.append((f"{mark}{findings.limit_subject(limit)}", kept, spare))
    print_table("", ("Limits", "kept", "to spare"), rows)
    for limit in limit_views(outlook):
        if not limit.kept:
            print_sentence(f"{findings.limit_subject(limit)}: {telling.help_sentence(limit)}")
            for told in _fixes_told(limit, fixes, units):
                print_sentence(told, indent=4)
    _show_boundary(boundary_view(outlook, above=True), units)


def _fixes_told(limit: LimitView, fixes: Fixes | None, units: Units) -> list[str]:
    """What would keep a limit, one sentence each; nothing where it was not asked."""
    if fixes is None or (limit.name, limit.portion) not in fixes:
        return []
    found = fixes[limit.name, limit.portion]
    return [fix_words.fix_sentence(fix, units) for fix in found] or [fix_words.NOTHING]


def _levels(outlook: Outlook, units: Units) -> Iterator[tuple[str, str, str, str]]:
    run = run_view(outlook)
    for what, vessel in (("mash", run.mash), ("rinse", run.rinse), ("start of the boil", run.boil)):
        if vessel is not None:
            below = vessel.capacity_l - vessel.level_l.median
            text = words.volume(below, units)
            if vessel.litres_per_cm is not None:
                text += f", {words.amount(below / vessel.litres_per_cm, 'cm', units)}"
            level = words.median_and_interval(vessel.level_l, "L", units)
            yield f"{what}, {vessel.name}", level, words.capacity(vessel.capacity_l, units), text


def _show_boundary(found: BoundaryView | None, units: Units) -> None:
    if found is not None:
        print_sentence(telling.boundary_sentence(found, units))


def show_amounts(outlook: Outlook, units: Units) -> None:
    """What to buy, weigh and measure."""
    rows = [(row.what, row.amount) for row in amount_rows(amounts_answer(outlook), units)]
    print_table(f"{outlook.plan.name}: amounts", ("", "amount"), rows)
    click.echo()
    _show_yeast(outlook, units)


def _show_yeast(outlook: Outlook, units: Units) -> None:
    """What each portion needs and gets, and how a shared starter is poured."""
    rows = []
    for view in yeast_views(outlook):
        pour = ""
        if view.poured_l is not None and view.poured_kg is not None:
            litres, grams = (
                words.to_measure(view.poured_l, "volume", units),
                words.mass(view.poured_kg, units),
            )
            pour = f"{litres}, {grams}"
        needed = words.number(view.needed.median, "billion cells", units)
        given = words.median_and_interval(view.given, "billion cells", units)
        rows.append(
            (
                view.portion,
                needed,
                given.replace(" billion cells", ""),
                pour,
                words.odds_in_a_column(view.odds_enough),
            )
        )
    enough = f"{words.share(ENOUGH_YEAST)} of it or more"
    print_table("Yeast, billion cells", ("", "needed", "given", "from the starter", enough), rows)


def show_ways(ways: Sequence[WayView], units: Units) -> None:
    """The same wort made without rinsing, by dunking and by pouring over."""
    rows = []
    for way in ways:
        mark = "" if way.tightest.kept else f"{findings.RISK} "
        lauter = way.lauter
        rows.append(
            (
                way.kind,
                words.to_measure(way.grain_kg, "mass", units),
                words.to_measure(way.mash_l, "volume", units),
                words.to_measure(way.rinse_l, "volume", units) if way.rinse_l else "",
                f"{words.share(lauter.median)} ({words.share(lauter.low)} – {words.share(lauter.high)})",
                f"{mark}{way.tightest.name} {words.odds_in_a_column(way.tightest.odds_kept)}",
            )
        )
    print_table("", ("Way", "grain", "mash", "rinse", "mash liquid to kettle", "tightest limit"), rows)
    for way in ways:
        if way.saved_kg is not None and way.gained_sg is not None:
            print_sentence(telling.gain_sentence(way, units))
