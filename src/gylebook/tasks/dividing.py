"""Divide: from a wish to plans, the best first.

In:  a wish file's text or path, a brewery.
Out: `Divided`: solutions and conflicts as views, and each solution as the text of a plan file.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.brewery.wish import Wish
from gylebook.decide.divide import divide
from gylebook.errors import Problem, Refused
from gylebook.exchange.plan_writer import write_plan
from gylebook.exchange.references import unknown
from gylebook.exchange.tables import SHIPPED, Tables
from gylebook.exchange.together import check_together
from gylebook.exchange.wish_file import read_wish
from gylebook.tasks.division_views import (
    ConflictView,
    SolutionView,
    UnmadeView,
    conflict_view,
    solution_view,
    unmade_view,
)
from gylebook.tasks.outlook import refuse_draws, refuse_house_figures
from gylebook.tasks.solved import weighable
from gylebook.tasks.texts import text_of

DRAWS, SEED = 1000, 1  # several whole plans are forecast; odds to a few in a hundred will do


@dataclass(frozen=True, slots=True, kw_only=True)
class Divided:
    """What came of a wish; `plans` are the solutions as plan files, in the same order."""

    name: str
    solutions: tuple[SolutionView, ...]
    conflicts: tuple[ConflictView, ...]
    unmade: tuple[UnmadeView, ...]
    plans: tuple[str, ...]
    odds: float


def load_wish(path: str | Path, tables: Tables = SHIPPED) -> Wish:
    """The wish in a file."""
    return read_wish(text_of(path), where=str(path), tables=tables)


def divided(wish: Wish, brewery: Brewery, *, draws: int = DRAWS, seed: int = SEED) -> Divided:
    """Several ways to make the beers of a wish from one wort, and what stands between them.

    Raises Refused where the wish names what the brewery lacks, NotConverged where no wort can be made.
    """
    refuse_draws(draws, seed)
    _check(wish, brewery)
    found = divide(wish, brewery, draws=draws, seed=seed)
    return Divided(
        name=wish.base.name,
        solutions=tuple(solution_view(n, one) for n, one in enumerate(found.solutions, 1)),
        conflicts=tuple(conflict_view(one) for one in found.conflicts),
        unmade=tuple(unmade_view(one) for one in found.unmade),
        plans=tuple(write_plan(weighable(one.plan)) for one in found.solutions),
        odds=wish.base.aims.odds,
    )


def chosen_plan(found: Divided, number: int) -> str:
    """The plan file of a numbered solution."""
    if not 1 <= number <= len(found.plans):
        accepted = f"there are solutions 1 to {len(found.plans)}"
        raise Refused((Problem("solution", f"{number}", accepted),))
    return found.plans[number - 1]


def _check(wish: Wish, brewery: Brewery) -> None:
    """Refuse a wish that names fermenters, vessels or waters that the brewery does not have."""
    missing = [
        Problem(f"beers.{beer.key}.fermenter", *unknown(wanted, brewery.fermenters, "fermenter"))
        for beer in wish.beers
        if (wanted := beer.ways[0].fermenter) not in brewery.fermenters
    ]
    if missing:
        raise Refused(missing)
    check_together(_as_plan(wish), brewery, plan_where="wish")
    refuse_house_figures(_as_plan(wish), brewery)


def _as_plan(wish: Wish) -> Plan:
    """All that a solution may hold, for whoever asks after names and figures."""
    first = wish.beers[0].key
    return replace(
        wish.base,
        hop_teas=tuple(replace(tea, at=first) for tea in (wish.hop_tea,) if tea),
        grain_teas=tuple(replace(tea, at=first) for tea in (wish.grain_tea,) if tea),
        aims=replace(wish.base.aims, bitterness_ibu=1.0),
        portions=tuple(beer.ways[0] for beer in wish.beers),
    )
