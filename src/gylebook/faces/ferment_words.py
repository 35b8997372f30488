"""Say in sentences how a portion's fermentation stands, where it ends, and how long it is to be waited for.

In:  a `FermentView` and the brewer's `Units`.
Out: plain English, the same on every face; every number inside goes through `words`.
"""

from __future__ import annotations

from gylebook.faces import words
from gylebook.faces.findings import RISK
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.ferment_views import AMISS, FermentView, GravityTaken, State

_SAID: dict[State, str] = {
    "on its way": "is on its way",
    "slow": "ferments slowly for its yeast",
    "stuck": f"seems stuck {words.DASH} it rests above where its yeast should leave it",
    "runaway": "has fallen below what its yeast should reach",
    "as good as finished": "is as good as finished",
}
_ASIDE: dict[State, str] = {
    "on its way": "on its way",
    "slow": "slow",
    "stuck": "stuck",
    "runaway": "below what the yeast should reach",
    "as good as finished": "as good as finished",
}
_HELP: dict[State, str] = {
    "slow": "Look at its warmth first: some degrees more, within the yeast's range, make it faster.",
    "stuck": "Check the reading with a second instrument and the hydrometer in water. Then bring it to the "
    "warm end of the yeast's range and stir the yeast up; a warm sample with much fresh yeast shows in three "
    "days what is left to take.",
    "runaway": "A wild or diastatic yeast may be at work: keep hoses and soft plastics that touched it "
    "apart, and give it no closed bottle before gravity has stood still for as long as is said below.",
}
_ORGANISM = {
    "ordinary": "Its yeast",
    "sluggish": "A yeast that works on slowly",
    "diastatic": "What splits dextrins",
    "Brettanomyces": "Brettanomyces",
}


def state_sentence(view: FermentView) -> str:
    """“Gate amber is on its way (98 in 100).”, and what else it may be."""
    mark = f"{RISK} " if view.verdict in AMISS else ""
    chance = words.odds(view.odds[view.verdict], view.trust.draws)
    rest = [
        f"{_ASIDE[state]} {words.odds(chance)}"
        for state, chance in sorted(view.odds.items(), key=lambda pair: -pair[1])
        if state != view.verdict and chance >= 0.01
    ]
    aside = f" Or else: {', '.join(rest)}." if rest else ""
    return f"{mark}{view.name} {_SAID[view.verdict]} ({chance}).{aside}"


def help_sentence(view: FermentView) -> str:
    """What is usually done about it; nothing where all is well."""
    return _HELP.get(view.verdict, "")


def end_sentence(view: FermentView) -> str:
    """Whether readings have told the end yet."""
    if view.end_is_guess:
        when = _day(view.end_told_from_at)
        return (
            "Where it ends is still what the plan and the day foretold: readings tell that only well past "
            f"the middle of the fall, from about {when} on."
        )
    if view.widened:
        return (
            "The last readings lie on one side of the curve, so the curve is trusted less and its range is "
            "wider than usual."
        )
    return ""


def near_end(view: FermentView) -> str:
    """When it comes near its end: “2026-11-27 (2026-11-26 – 2026-11-29)”."""
    low, middle, high = (_day(at) for at in view.near_end_at)
    return middle if low == high else f"{middle} ({low} {words.DASH} {high})"


def standing_sentence(view: FermentView) -> str:
    """For how long gravity stood still, and what that leaves unseen."""
    standing = view.standing
    asked = days(standing.asked_days)
    asks = f"{_ORGANISM[standing.organism]} asks for equal readings over {asked} before it is packed."
    if standing.unseen_points is None:
        return f"No two readings agree yet, so gravity is not seen to stand still. {asks}"
    unseen = words.fixed(standing.unseen_points, 1)
    return (
        f"What was read over {days(standing.stood_days)} lies no more than the instrument’s error apart. "
        f"Readings that agree so long still leave up to {unseen} points possible (95 in 100). {asks}"
    )


def points_sentence(view: FermentView) -> str:
    """The points that may still come."""
    left = view.standing.left_points
    low, high = (words.fixed(x, 1) for x in (left.low, left.high))
    return f"Points that the curve leaves possible: {low} {words.DASH} {high}."


def waiting_sentence(view: FermentView) -> str:
    """Days to wait, where no clock tells which day it is: counted from the last reading, and said so."""
    wait, points = view.standing.wait_days, points_sentence(view)
    if wait < 0.5:
        return f"Take one more reading on the day of packing: it must agree with the last. {points}"
    since = f"the last reading ({_day(view.taken[-1].at)})" if view.taken else "pitching"
    return f"Read again {days(wait)} after {since}. {points}"


def put_right(taken: GravityTaken, units: Units = METRIC) -> str:
    """A gravity put right, as finely as it was read."""
    scale = "°Bx" if taken.kind == "refractometer" else "°P"
    return words.gravity(taken.sg, units, finer=words.read_finely(taken.value, scale, units))


def days(value: float) -> str:
    """“1 day”, “3.5 days”, “58 days”."""
    text = words.fixed(value, 0 if value >= 9.95 or abs(value - round(value)) < 0.05 else 1)
    return f"{text} day{'' if text == '1' else 's'}"


def reach_text(low: float, middle: float, high: float, units: Units = METRIC) -> str:
    """A gravity with its range."""
    gravities = [words.gravity(x, units) for x in (middle, low, high)]
    return f"{gravities[0]} ({gravities[1]} {words.DASH} {gravities[2]})"


def _day(at: str) -> str:
    return at[:10]
