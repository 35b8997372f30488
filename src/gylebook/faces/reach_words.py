"""Say how much a brewery can reach, what stops it, and what one change would buy.

In:  a `ReachView` and the brewer's `Units`.
Out: plain English and cells of tables, the same on every face.
"""

from __future__ import annotations

from collections.abc import Collection
from itertools import count

from gylebook.faces import words
from gylebook.faces.findings import limit_name
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.reach import CurveView, EdgePoint, GainView, ReachView, StrongestView

WAYS = {
    "full volume": "Mash with all the liquor, no rinse",
    "dunk rinse": "Rinse the bag by dunking it",
    "poured rinse": "Pour a rinse over the bag",
    "fly rinse": "Rinse while the wort runs",
    "two mashes": "Two mashes into one boil",
    "fed during the boil": "Wort held back, fed in as it boils",
    "liquor in the fermenters": "Stronger wort, liquor in the fermenters",
}
NOTHING = "—"
MOST_ROWS = 9


def way_name(way: str) -> str:
    """“Rinse the bag by dunking it”."""
    return WAYS.get(way, way)


def heading(view: ReachView) -> str:
    """What the curves are of: “The most that The shed makes, every limit kept 90 in 100”."""
    return f"The most that {view.brewery} makes, every limit kept {words.odds(view.asked)}"


def volume_text(point: EdgePoint, units: Units = METRIC) -> str:
    """“31.5 L”, or a dash where nothing can be made."""
    return NOTHING if point.volume_l is None else words.volume(point.volume_l, units)


def even_text(point: EdgePoint, units: Units = METRIC) -> str:
    """The same at even odds; a dash where that is not known."""
    return NOTHING if point.even_l is None else words.volume(point.even_l, units)


def stopped_by(point: EdgePoint) -> str:
    """What stops it there: “foam room in the kettle”."""
    return limit_name(point.limit, point.vessel) if point.limit else ""


def point_sentence(curve: CurveView, point: EdgePoint, units: Units = METRIC) -> str:
    """“At 1.057, 31.5 L; foam room in the kettle stops it.”"""
    at = words.gravity(point.sg, units)
    if point.volume_l is None:
        return (
            f"At {at}, nothing more is gained."
            if curve.way == "liquor in the fermenters"
            else f"At {at}, none."
        )
    told = f"At {at}, {words.volume(point.volume_l, units)}; {stopped_by(point)} stops it."
    return f"{told} {_wort(point, units)}".rstrip()


def _wort(point: EdgePoint, units: Units) -> str:
    """“That is wort of 1.078 with 8.0 L of liquor.”"""
    if point.wort_sg is None or point.liquor_l is None:
        return ""
    poured = words.volume(point.liquor_l, units)
    return f"That is wort of {words.gravity(point.wort_sg, units)} with {poured} of liquor."


def round_volumes(view: ReachView, units: Units = METRIC) -> list[float]:
    """Volumes for a table, round in the unit that is read. [L]"""
    made = [p.volume_l for curve in view.curves for p in curve.points if p.volume_l is not None]
    in_one = words.units_in_one("L", units)
    shown = max(made, default=0.0) * in_one
    step = next((step for step in (1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 50.0) if shown / step <= MOST_ROWS), shown)
    return [step * number / in_one for number in range(1, int(shown / step) + 1)] if shown else []


def strongest_text(found: StrongestView, strongest_sg: float, units: Units = METRIC) -> str:
    """“1.065, by wort held back”; where the curve ends, “1.110 or more”."""
    if found.sg is None:
        return "weaker than any looked at"
    more = " or more" if found.sg >= strongest_sg - 1e-9 else ""
    return f"{words.gravity(found.sg, units)}{more}"


def way_sentence(view: ReachView, point: EdgePoint, units: Units = METRIC) -> str:
    """“At most 30.2 L, 31.9 L at even odds. Foam room in the kettle stops it.”"""
    if point.volume_l is None:
        return "None at this gravity."
    even = ""
    if point.even_l is not None and view.asked > 0.5:
        even = f", {words.volume(point.even_l, units)} at even odds"
    stop = stopped_by(point)
    told = f"At most {words.volume(point.volume_l, units)}{even}. {stop[:1].upper()}{stop[1:]} stops it."
    return f"{told} {_wort(point, units)}".rstrip()


def plan_name(view: ReachView, of: str, taken: Collection[str], units: Units = METRIC) -> str:
    """A name for a plan that is begun here, and that no other has: “Pale beer of 1.057”."""
    name = f"{of or 'Pale beer'} of {words.gravity(view.at_sg, units)}"
    free = (f"{name}, {number}" for number in count(2))
    return name if name not in taken else next(other for other in free if other not in taken)


def gain_sentence(gain: GainView, units: Units = METRIC) -> str:
    """“A kettle of 62 L adds 8.9 L”, “Boiling 15 min longer costs 1.2 L”."""
    what = _change(gain, units)
    if gain.after_l is None:
        return f"{what} leaves nothing to make."
    litres = words.volume(abs(gain.after_l - gain.before_l), units)
    return f"{what} {'adds' if gain.after_l > gain.before_l else 'costs'} {litres}."


def _change(gain: GainView, units: Units) -> str:
    match gain.change:
        case "larger kettle" | "larger second vessel":
            return f"A {gain.of} of {words.capacity(gain.amount, units)}"
        case "a second vessel":
            return f"A second vessel of {words.capacity(gain.amount, units)} to rinse the bag in"
        case "larger fermenters":
            return f"Fermenters of {words.capacity(gain.amount, units)} in all"
        case "stronger hoist":
            return f"A hoist rated for {words.mass(gain.amount, units)}"
        case "more power":
            return f"{words.fixed(gain.amount, 1)} kW ({gain.of})"
        case "pressed bag":
            return "Pressing the bag"
        case "longer boil":
            return f"Boiling {words.duration(gain.amount)} longer"
        case "liquor in the fermenters":
            return f"Topping up with {words.volume(gain.amount, units)} of liquor in the fermenters"
