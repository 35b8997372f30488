"""Learn the house's own figures from all brews of a book.

In:  a book, a brewery's name, the plan that comes next where one is named.
Out: `Learning`: what was learned, and the circumstances of the next brew.

Idea: the one place where a figure's belonging meets the statistics of houses.  The brews are looked at
twice: first over the published spreads, then over what the house is expected to do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import NotConverged
from gylebook.exchange.brewery_file import read_brewery
from gylebook.gyle.belonging import Belonging, belongings
from gylebook.infer.learn import QUICK, Figures, Learned, learn
from gylebook.infer.levels import Evidence, evidence_of
from gylebook.infer.states import Met, States, Ties
from gylebook.infer.straight import Line, expected, straight
from gylebook.record.store import open_book
from gylebook.tasks.evening_kept import readings_kept
from gylebook.tasks.evening_told import told_by_evening
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.past import SEED, Gathered, Past, Progress, Told, gather

Columns = NDArray[np.intp]
SOLVED_WITH = 400  # draws: the size of the next brew is wanted, not its last gram
LOOKS = 2  # over the published spreads, then over what was learned from that


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Learning:
    """What the brews of one brewery tell, and what comes next.

    `lines` are those of the readings of all that is `told`; `plan` is brewed next, on `site`: the newest
    version of the brewery, its house figures left out as in every brew.
    """

    gathered: Gathered
    evening: Told | None
    states: States
    learned: Learned
    evidence: tuple[Evidence, ...]
    lines: tuple[Line, ...]
    plan: Plan
    site: Brewery
    seed: int

    @property
    def pasts(self) -> tuple[Past, ...]:
        """The brews that were learned from."""
        return self.gathered.pasts

    @property
    def told(self) -> tuple[Told, ...]:
        """All that was learned from: the evening with water, where there was one, and every brew."""
        return _together(self.evening, self.gathered)


def learn_from_book(
    location: str,
    brewery: str | None = None,
    plan: Plan | None = None,
    *,
    evening: Sequence[Reading] | None = None,
    seed: int = 1,
    progress: Progress = lambda done, of: None,
) -> Learning:
    """Learn from every brew on a brewery, that of the newest brew where none is named.

    `plan` is what comes next, for the circumstances that the levels are told for; else the newest brew's.
    What it leaves open is solved, on the brewery as its newest file has it.  `evening` are readings of a
    calibration evening on that gear; those kept in the book if not given.
    Raises Refused where there is nothing to learn from.
    """
    with open_book(location) as book:
        gathered = gather(book, brewery, progress)
        water = readings_kept(book, gathered.brewery) if evening is None else tuple(evening)
    return learned_from(gathered, plan, evening=water, seed=seed)


def learned_from(
    gathered: Gathered, plan: Plan | None = None, *, evening: Sequence[Reading] = (), seed: int = 1
) -> Learning:
    """Learn from brews that are gathered already."""
    typed = read_brewery(gathered.text, where=f"brewery “{gathered.brewery}” version {gathered.version}")
    site = replace(typed, house={})
    upcoming = gathered.pasts[-1].plan if plan is None else look_ahead(plan, typed, draws=SOLVED_WITH).plan
    water = told_by_evening(site, evening, gathered.pasts[0].when) if evening else None
    told = _together(water, gathered)
    states = states_of(told, upcoming, site)
    lines: list[Line] = [past.line for past in told]
    for _ in range(LOOKS - 1):
        evidence = evidence_from(states, told, lines)
        learned = learn(states.house(), evidence, seed=seed, guesses=QUICK)
        lines = [line_of(states, learned, past) for past in told]
    evidence = evidence_from(states, told, lines)
    return Learning(
        gathered=gathered,
        evening=water,
        states=states,
        learned=learn(states.house(), evidence, seed=seed),
        evidence=tuple(evidence),
        lines=tuple(lines),
        plan=upcoming,
        site=site,
        seed=seed,
    )


def _together(evening: Told | None, gathered: Gathered) -> tuple[Told, ...]:
    """The evening counts as of the first brew: gear is tried before it is brewed on."""
    return gathered.pasts if evening is None else (evening, *gathered.pasts)


def of_house(states: States, found: Sequence[Belonging | None]) -> Columns:
    """Columns of the figures whose family has a level among these states."""
    columns = [k for k, one in enumerate(found) if one is not None and states.knows(one.family)]
    return np.array(columns, dtype=np.intp)


def met(found: Sequence[Belonging | None], columns: Columns) -> list[Met]:
    """The circumstances of the figures at these columns."""
    out = []
    for k in columns:
        one = found[k]
        assert one is not None
        out.append(
            Met(
                family=one.family,
                far=one.kind,
                near=one.gear,
                angle=one.rule.turn * one.doublings,
            )
        )
    return out


def expected_of(
    states: States, learned: Learned, found: Sequence[Belonging | None]
) -> tuple[Columns, Figures]:
    """What the house expects of a brew's figures, and at which columns they stand."""
    columns = of_house(states, found)
    places = met(found, columns)
    return columns, learned.next_brew(states.made_of(places), states.family(places))


def evidence_from(states: States, pasts: Sequence[Told], lines: Sequence[Line]) -> list[Evidence]:
    """What each brew tells, its readings along these lines."""
    out = []
    for past, line in zip(pasts, lines, strict=True):
        columns = of_house(states, past.belongings)
        columns = columns[line.slope[:, columns].any(axis=0)]
        places = met(past.belongings, columns)
        out.append(
            evidence_of(
                line.seen,
                line.slope,
                line.noise,
                columns,
                states.made_of(places),
                states.family(places),
                past.when,
            )
        )
    return out


def states_of(pasts: Sequence[Told], plan: Plan, site: Brewery) -> States:
    """States for every level that some reading touches, in every circumstance met or to come."""
    touched = {
        one.family
        for past in pasts
        for one, slope in zip(past.belongings, past.line.slope.T, strict=True)
        if one is not None and slope.any()
    }
    everywhere = [*(past.belongings for past in pasts), belongings(plan, site)]
    chosen = [one for found in everywhere for one in found if one is not None and one.family in touched]
    ties = {
        one.family: Ties(
            share=one.rule.share,
            near=one.rule.tied_gear,
            far=one.rule.tied_kind,
            turns=one.rule.measure is not None,
        )
        for one in chosen
    }
    return States(ties, met(chosen, np.arange(len(chosen))))


def line_of(states: States, learned: Learned, past: Told) -> Line:
    """The brew's readings along a line over what the house expects of it; as before where none is found."""
    columns, figures = expected_of(states, learned, past.belongings)
    try:
        return straight(past.told, expected(len(past.belongings), columns, figures), seed=SEED)
    except NotConverged:
        return past.line
