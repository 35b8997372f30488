"""List the numbers of the run's picture as rows, for whoever cannot see it.

In:  a `RunView`.
Out: rows of words, in the order in which the picture is read from top to bottom.

Idea: the table is the picture said aloud: each level, ribbon, odds and portion has its row.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from gylebook.faces import words
from gylebook.faces.findings import aim_subject, limit_subject
from gylebook.faces.words import METRIC, Units
from gylebook.figures.draws import Summary
from gylebook.tasks.views import LimitView, PortionView, RunView, VesselView


@dataclass(frozen=True, slots=True)
class Row:
    """One number of the picture: where, what, its value, its interval and odds, as words or empty."""

    where: str
    what: str
    value: str
    interval: str = ""
    odds: str = ""


def run_table(view: RunView, units: Units = METRIC) -> list[Row]:
    """Every number that the picture shows, and the margins behind its odds."""
    rows = list(_hot_side(view, units))
    for portion in view.portions:
        rows += _portion(portion, units)
    rows.append(_summary("fermenters", "volume", view.volume_l, "L", units))
    rows.append(_summary("fermenters", "original gravity", view.og, "SG", units))
    for aim in view.aims:
        forecast = _summary("aims", aim_subject(aim, units), aim.forecast, aim.unit, units)
        rows.append(
            Row(forecast.where, forecast.what, forecast.value, forecast.interval, words.odds(aim.odds))
        )
    said = {id(limit) for limit in _limits_of_portions(view)}
    rows += [_limit("limits", limit, units) for limit in view.limits if id(limit) not in said]
    return rows


def spoken(rows: Iterable[Row]) -> str:
    """The rows as one text, for a picture's description."""
    return " ".join(_sentence(row) for row in rows)


def _sentence(row: Row) -> str:
    around = f", {row.interval} in 90 of 100 futures" if row.interval else ""
    odds = f", odds {row.odds}" if row.odds else ""
    return f"{row.where}, {row.what}: {row.value}{around}{odds}."


def _hot_side(view: RunView, units: Units) -> Iterator[Row]:
    if view.mash is not None:
        if view.mash_c is not None:
            yield Row("mash", "temperature", words.temperature(view.mash_c, units))
        yield Row("mash", "rest", words.duration(view.mash_minutes))
    weights = (
        ("mash", "liquor", view.mash_liquor_kg),
        ("mash" if view.mash else "kettle", "grist" if view.mash else "extract", view.grain_kg),
        ("rinse", "liquor", view.rinse_liquor_kg),
        ("kettle", "liquor", view.kettle_liquor_kg),
    )
    for where, what, weight in weights:
        if weight > 0:
            yield Row(where, what, words.mass(weight, units))
    if view.mash is not None:
        yield from _vessel("mash", view.mash, units)
    if view.bag_kg is not None:
        yield _summary("lift", "wet bag", view.bag_kg, "kg", units)
    if view.first_wort_kg is not None:
        yield _summary("kettle", "first wort", view.first_wort_kg, "kg", units)
    if view.rinse is not None:
        yield from _vessel("rinse", view.rinse, units)
    if view.second_wort_kg is not None:
        yield _summary("kettle", "second wort", view.second_wort_kg, "kg", units)
    yield Row("boil", "time", words.duration(view.boil_minutes))
    yield Row("boil", "temperature", words.temperature(view.boil_c, units))
    yield from _vessel("boil", view.boil, units)
    yield _summary("boil", "steam", view.steam_kg, "kg", units)
    yield _summary("kettle", "stays behind", view.stays_kg, "kg", units)
    yield Row("divide", "temperature", words.temperature(view.chill_c, units))


def _vessel(where: str, vessel: VesselView, units: Units) -> Iterator[Row]:
    """The level against the capacity; its odds stand among the limits."""
    level = _summary(where, f"level in {vessel.name}", vessel.level_l, "L", units)
    odds = f"{words.odds(vessel.limit.odds_kept)} kept" if vessel.limit else ""
    value = f"{level.value} of {words.capacity(vessel.capacity_l, units)}"
    yield Row(level.where, level.what, value, level.interval, odds)


def _portion(portion: PortionView, units: Units) -> Iterator[Row]:
    yield from _vessel(portion.name, portion.fermenter, units)
    volume = _summary(portion.name, "volume", portion.volume_l, "L", units)
    mark = portion.odds_to_the_mark
    odds = f"volume reached {words.odds(mark)}" if mark is not None else ""
    yield Row(volume.where, volume.what, volume.value, volume.interval, odds)
    yield _summary(portion.name, "original gravity", portion.og, "SG", units)
    yield _summary(portion.name, "final gravity", portion.fg, "SG", units)
    yield _summary(portion.name, "alcohol by volume", portion.abv, "%", units)
    yield _summary(portion.name, "bitterness", portion.ibu, "IBU", units)
    yield _summary(portion.name, f"packaged, {portion.package}", portion.packaged_l, "L", units)
    then = f", then {portion.later}" if portion.later else ""
    yield Row(portion.name, "yeast", f"{portion.yeast}{then}")
    for limit in portion.limits:
        yield _limit(portion.name, limit, units)


def _limits_of_portions(view: RunView) -> Iterator[LimitView]:
    for portion in view.portions:
        yield from portion.limits


def _limit(where: str, limit: LimitView, units: Units) -> Row:
    margin = _summary(where, f"{limit_subject(limit)}, margin", limit.margin, limit.unit, units)
    mark = "" if limit.kept else ", at risk"
    return Row(where, margin.what, margin.value, margin.interval, f"{words.odds(limit.odds_kept)} kept{mark}")


def _summary(where: str, what: str, summary: Summary, unit: str, units: Units) -> Row:
    value = words.amount(summary.median, unit, units)
    return Row(where, what, value, words.interval_with_unit(summary, unit, units))
