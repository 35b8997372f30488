"""Find what would keep a limit that a plan does not keep: the least change of each kind that does.

In:  a plan as it was asked for, its brewery, latents, and the limit.
Out: `Fix`es: each a changed plan or brewery, by how much, the odds then, and what it breaks instead.

Idea: the edited plan is solved again on the same draws, and the fewest steps that keep the limit are searched
for.  Nothing about a limit is known here but its margin.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.fix_deeds import Deed, DeedName, Pair, deeds
from gylebook.decide.solve import solve
from gylebook.errors import NotConverged, OutsideValidity, Refused
from gylebook.figures.draws import Array
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import Limit, limits

FEW = 4  # the search uses every fourth draw
STEPS_MORE = 3  # that all draws may ask for beyond the few

Key = tuple[str, str | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """A change that keeps a limit: the odds that it is kept then, and other limits that are lost by it."""

    deed: DeedName
    of: str
    amount: float
    dimension: str
    plan: Plan
    brewery: Brewery
    odds_kept: float
    lost: tuple[Limit, ...]


def fixes(plan: Plan, brewery: Brewery, latents: Array, name: str, portion: str | None) -> tuple[Fix, ...]:
    """The least change of every kind that keeps the limit `name`, of a portion where it is one's own.

    Those that lose no other limit come first, in the order of what they ask of the brewer.
    """
    before = _judged((plan, brewery), latents[::FEW]) or ()
    asked = plan.aims.odds
    kept_before = {_key(limit) for limit in before if limit.odds_kept >= asked}
    stopped = next((limit for limit in before if _key(limit) == (name, portion)), None)
    if stopped is None:
        return ()
    out = []
    for deed in deeds(plan, brewery, stopped):
        found = _fewest(deed, latents, (name, portion), asked)
        if found is None:
            continue
        steps, after = found
        changed, gear = deed.make(steps)
        out.append(
            Fix(
                deed=deed.name,
                of=deed.of,
                amount=deed.amount(steps),
                dimension=deed.dimension,
                plan=changed,
                brewery=gear,
                odds_kept=min(
                    (limit.odds_kept for limit in after if _key(limit) == (name, portion)), default=1.0
                ),
                lost=tuple(
                    limit for limit in after if limit.odds_kept < asked and _key(limit) in kept_before
                ),
            )
        )
    return tuple(sorted(out, key=lambda fix: bool(fix.lost)))


def _fewest(deed: Deed, latents: Array, key: Key, asked: float) -> tuple[int, tuple[Limit, ...]] | None:
    """The fewest steps that keep the limit; None where neither the most nor any half of it does.

    Halved on a few draws, then judged on all of them, which may ask for a step more.
    """

    def kept(steps: int, rows: Array) -> tuple[Limit, ...] | None:
        judged = _judged(deed.make(steps), rows)
        if judged is None or any(limit.odds_kept < asked for limit in judged if _key(limit) == key):
            return None
        return judged

    few = latents[::FEW]
    low, high = 0, deed.steps
    while kept(high, few) is None:  # the most may be more than any plan could be solved for
        high //= 2
        if high == 0:
            return None
    while high - low > 1:
        middle = (low + high) // 2
        if kept(middle, few) is None:
            low = middle
        else:
            high = middle
    for steps in range(high, min(high + STEPS_MORE, deed.steps) + 1):
        found = kept(steps, latents)
        if found is not None:
            return steps, found
    return None


def _judged(pair: Pair, latents: Array) -> tuple[Limit, ...] | None:
    """Every limit of a plan solved anew; None where nothing meets its aims."""
    plan, brewery = pair
    try:
        solved = solve(plan, brewery, latents)
        model = Model(solved, brewery)
        return limits(solved, brewery, model.draw(latents), model.course(latents))
    except (NotConverged, OutsideValidity, Refused):
        return None


def _key(limit: Limit) -> Key:
    return limit.name, limit.portion
