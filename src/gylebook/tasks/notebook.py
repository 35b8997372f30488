"""Ask the model from a notebook.

In:  plans, breweries and readings, from files or made in code.
Out: outlooks and plans; `gylebook` lends these names at its top.

Idea: the same outlook that every face shows, with sensible draws and seed, in one call each.
"""

from __future__ import annotations

from collections.abc import Sequence

from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import NotConverged
from gylebook.tasks.adapt import Adapted, brewed_of
from gylebook.tasks.adapt import adapt as adapt_beer
from gylebook.tasks.learned_view import LearnedView, learned_view
from gylebook.tasks.learning import learn_from_book
from gylebook.tasks.outlook import DRAWS, SEED, Outlook, Stage, look_again, look_ahead
from gylebook.tasks.reach import ReachView, look_for_reach
from gylebook.tasks.reading_words import refuse_impossible


def forecast(plan: Plan, brewery: Brewery, *, draws: int = DRAWS, seed: int = SEED) -> Outlook:
    """Outlook of a plan before anything is read; what it leaves open is solved first."""
    return look_ahead(plan, brewery, draws=draws, seed=seed)


def solve(plan: Plan, brewery: Brewery, *, draws: int = DRAWS, seed: int = SEED) -> Plan:
    """The plan with every amount that it left open."""
    return look_ahead(plan, brewery, draws=draws, seed=seed).plan


def adapt(
    outlook: Outlook,
    onto: Brewery,
    *,
    litres: float | None = None,
    times: float | None = None,
    keep_colour: bool = False,
) -> Adapted:
    """The same beer on another brewery, or another size of it; its `outlook` has the plan there."""
    return adapt_beer(
        brewed_of(outlook),
        onto,
        litres=litres,
        times=times,
        keep_colour=keep_colour,
        draws=len(outlook.prior),
        seed=outlook.seed,
    )


def reach(
    brewery: Brewery, plan: Plan | None = None, *, at_sg: float | None = None, odds: float | None = None
) -> ReachView:
    """The most of every gravity by every way, and what one change would buy at one; a plain pale beer's
    where no plan says otherwise."""
    return look_for_reach(brewery, plan, at_sg=at_sg, odds=odds)


def learn(
    location: str,
    brewery: str | None = None,
    plan: Plan | None = None,
    *,
    evening: Sequence[Reading] = (),
) -> LearnedView:
    """What the brews of a book tell of a brewery, for the size and process of the plan that comes next.

    `evening` are readings of an evening with water on that gear.  Raises Refused where there is
    nothing to learn from.
    """
    return learned_view(learn_from_book(location, brewery, plan, evening=evening))


def condition(outlook: Outlook, readings: Sequence[Reading]) -> Outlook:
    """The same outlook given these readings, in place of any that it was given before.

    Raises Refused where a reading is none that an instrument shows or cannot be tied to the plan,
    NotConverged where the readings cannot be reconciled with the forecast.
    """
    refuse_impossible(readings)
    stage = Stage(plan=outlook.plan, readings=tuple(readings))
    found = look_again(outlook.asked, (stage,), outlook.brewery, prior=outlook.prior, seed=outlook.seed)
    if found.diagnostic is not None and not found.diagnostic.converged:
        raise NotConverged(
            "The search for what these readings mean together did not settle: they lie too far from the "
            "forecast. Check them and their units, or leave out the one that is furthest off."
        )
    return found
