"""Answer from a plan file and a brewery file: forecast, solve, limits, order, remedies, sheet.

In:  files, options.  Out: words or JSON; exit code 1 where a limit's odds are below what the plan asks for.
"""

from __future__ import annotations

from pathlib import Path

import click

from gylebook.errors import Problem, Refused
from gylebook.faces.answers import (
    change_answers,
    fixes_answer,
    forecast_answer,
    limit_answer,
    printed,
    reading_answers,
    remedy_answer,
    solved_answer,
    way_answer,
    worth_answer,
)
from gylebook.faces.cli import report, report_day
from gylebook.faces.cli.looking import outlook_of
from gylebook.faces.cli.options import (
    Units,
    json_option,
    plan_options,
    readings_option,
    units_option,
)
from gylebook.tasks.fixes import ways_to_keep
from gylebook.tasks.order_view import order_view
from gylebook.tasks.outlook import Outlook, look_ahead
from gylebook.tasks.remedy_view import changes, what_can_be_done
from gylebook.tasks.run_view import boundary_view, limit_views
from gylebook.tasks.solved import solved_text
from gylebook.tasks.ways import compare_ways
from gylebook.tasks.worth import readings_worth_taking


def _before(outlook: Outlook) -> Outlook:
    return look_ahead(outlook.asked, outlook.brewery, draws=len(outlook.prior), seed=outlook.seed)


def _code(outlook: Outlook) -> int:
    return 0 if outlook.limits_kept else 1


@click.command()
@plan_options
@readings_option
@units_option
@json_option
def forecast(
    plan: Path,
    brewery: Path | None,
    draws: int,
    seed: int,
    readings: Path | None,
    units: Units,
    as_json: bool,
) -> int:
    """Forecast what comes of PLAN, given the readings so far.

    Amounts that the plan leaves open are solved first. All figures are the middle of the forecast with the
    interval that holds 90 of 100 futures.
    """
    outlook = outlook_of(plan, brewery, draws, seed, readings)
    if as_json:
        answer = forecast_answer(outlook)
        answer["about"]["worth_reading"] = [worth_answer(view) for view in readings_worth_taking(outlook)]
        if readings is not None:
            answer["about"]["changes"] = change_answers(changes(_before(outlook), outlook))
        click.echo(printed(answer))
        return _code(outlook)
    report.show_forecast(outlook, units)
    if readings is not None:
        report_day.show_readings(outlook, units)
        report_day.show_changes(changes(_before(outlook), outlook), outlook, units)
    report_day.show_worth(readings_worth_taking(outlook))
    report.show_limits(outlook, units)
    return _code(outlook)


@click.command()
@plan_options
@units_option
@json_option
@click.option("--out", "-o", type=click.Path(path_type=Path), help="Write the solved plan as a plan file.")
def solve(
    plan: Path, brewery: Path | None, draws: int, seed: int, units: Units, as_json: bool, out: Path | None
) -> int:
    """Solve what PLAN leaves open: grain, liquor, salts and acid, hops, starters.

    The volume aimed at is reached with the odds the plan asks for, gravity and bitterness at the middle.
    """
    outlook = outlook_of(plan, brewery, draws, seed)
    if out is not None:
        write_bytes(out, solved_text(outlook).encode())
    if as_json:
        click.echo(printed(solved_answer(outlook)))
        return _code(outlook)
    report.show_amounts(outlook, units)
    report.show_aims(outlook, units)
    report.show_limits(outlook, units)
    return _code(outlook)


@click.command()
@plan_options
@readings_option
@units_option
@json_option
@click.option("--fixes", "with_fixes", is_flag=True, help="Search for the least change that keeps each.")
def limits(
    plan: Path,
    brewery: Path | None,
    draws: int,
    seed: int,
    readings: Path | None,
    units: Units,
    as_json: bool,
    with_fixes: bool,
) -> int:
    """Say what must not be exceeded with PLAN, and how surely it is kept."""
    if with_fixes and readings is not None:
        accepted = "before the day a limit is fixed; on the day: gylebook remedies"
        raise Refused((Problem("--fixes", "was given with readings", accepted),))
    outlook = outlook_of(plan, brewery, draws, seed, readings)
    views = limit_views(outlook)
    fixes = {
        (limit.name, limit.portion): ways_to_keep(outlook, limit.name, limit.portion)
        for limit in views
        if with_fixes and not limit.kept
    }
    if as_json:
        answer = {
            "limits": [
                limit_answer(limit) | fixes_answer(fixes.get((limit.name, limit.portion))) for limit in views
            ],
            "boundary": boundary_view(outlook, above=True),
            "readings": reading_answers(outlook),
        }
        click.echo(printed(answer))
    else:
        report_day.show_readings(outlook, units)
        report.show_every_limit(outlook, units, fixes)
    return _code(outlook)


@click.command()
@plan_options
@units_option
@json_option
def ways(plan: Path, brewery: Path | None, draws: int, seed: int, units: Units, as_json: bool) -> int:
    """Compare ways to PLAN's wort on this gear: no rinse, the bag dunked, or poured over."""
    found = compare_ways(outlook_of(plan, brewery, draws, seed))
    if as_json:
        click.echo(printed({"ways": [way_answer(way) for way in found]}))
    else:
        report.show_ways(found, units)
    return 0


@click.command()
@plan_options
@units_option
@json_option
@click.option("--pitch-at", help="Clock time of pitching, like 18:30; else steps are counted from it.")
def order(
    plan: Path, brewery: Path | None, draws: int, seed: int, units: Units, as_json: bool, pitch_at: str | None
) -> int:
    """Print the running order of PLAN's day, backwards from pitching."""
    outlook = outlook_of(plan, brewery, draws, seed)
    view = order_view(outlook)
    if as_json:
        click.echo(printed(report_day.order_answer(view)))
    else:
        report_day.show_order(view, units, report_day.minutes_of(pitch_at))
    return _code(outlook)


@click.command()
@plan_options
@readings_option
@units_option
@json_option
def remedies(
    plan: Path,
    brewery: Path | None,
    draws: int,
    seed: int,
    readings: Path | None,
    units: Units,
    as_json: bool,
) -> int:
    """Put side by side what can be done about PLAN after the readings, best first."""
    outlook = outlook_of(plan, brewery, draws, seed, readings)
    found = what_can_be_done(outlook)
    if as_json:
        answer = {
            "remedies": [remedy_answer(remedy) for remedy in found],
            "readings": reading_answers(outlook),
        }
        click.echo(printed(answer))
    else:
        report_day.show_readings(outlook, units)
        report_day.show_remedies(found, units)
    return _code(outlook)


@click.command()
@plan_options
@readings_option
@units_option
@click.option(
    "--out", "-o", type=click.Path(path_type=Path), required=True, help="Where to write, like sheet.pdf."
)
def sheet(
    plan: Path, brewery: Path | None, draws: int, seed: int, readings: Path | None, units: Units, out: Path
) -> int:
    """Write PLAN's day as a PDF: amounts, running order, boxes for readings, the run."""
    from gylebook.faces.sheets.day import day_sheet
    from gylebook.tasks.sheet import sheet_view

    outlook = outlook_of(plan, brewery, draws, seed, readings)
    write_bytes(out, day_sheet(sheet_view(outlook), units=units))
    click.echo(f"written: {out}")
    return _code(outlook)


def write_bytes(path: Path, data: bytes) -> None:
    """Write a file that was asked for, or say why it cannot be."""
    try:
        path.write_bytes(data)
    except OSError as problem:
        reason = (problem.strerror or type(problem).__name__).lower()
        raise Refused((Problem(str(path), f"cannot be written ({reason})", "name another place"),)) from None
