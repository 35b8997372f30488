"""Tell what was learned, figure by figure: before and after, from how many brews, and what to read next.

In:  a `Learning`.
Out: `LearnedView` for faces.

Idea: what is told is the level with the scatter of the next brew, as that is what a plan starts from; how
well the level itself is known stands beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.site import HouseFigure
from gylebook.figures.draws import Summary, standard_normal_latents, summarise
from gylebook.gyle.belonging import Belonging, belongings
from gylebook.gyle.forecast import Model
from gylebook.infer.straight import expected
from gylebook.tasks.learning import Learning, expected_of, met, of_house
from gylebook.tasks.next_reading import Key, WorthReading, key_of, next_readings
from gylebook.tasks.views import ChangeView

DRAWS = 2000
TOLD = (
    "kettle.preboil.volume_l",
    "kettle.preboil.gravity",
    "fermenters.volume_l",
    "og",
    "efficiency.kettle",
    "efficiency.fermenter",
)
TRUSTED_BELOW, FEWEST_EFFECTIVE = 0.7, 8.0  # Pareto k of the guesses of scatters, and their worth
INFORMS = 0.02  # share of a figure's variance that a brew's readings take away, for the brew to count


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelView:
    """One figure of the house in one circumstance.

    `published` and `next_brew` are level and scatter for a brew to come; `level` is the house's own level,
    `scatter` its spread from brew to brew (None where it has none).  `since` is the brew that was the first
    with this gear, where others came before.  `spread_gone` is the share of the published scatter that is
    gone for the next brew; `comes_next` tells whether the next brew meets this circumstance.
    """

    name: str
    family: str
    unit: str
    kind: str
    gear: str
    published: HouseFigure
    next_brew: HouseFigure
    level: Summary
    scatter: Summary | None
    brews: int
    since: str
    spread_gone: float
    comes_next: bool
    reading: WorthReading | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnedView:
    """All that was learned of one brewery, and what it makes of the next brew (`foreseen`).

    `evening` counts the readings of an evening with water, which counts among a level's `brews` as one;
    `set_aside` are readings that fit nothing, as (brew, step, quantity); `trusted` tells whether the guesses
    of the scatters were weighed well enough.
    """

    brewery: str
    version: int
    brews: int
    readings: int
    evening: int
    unread: tuple[str, ...]
    left_out: tuple[str, ...]
    set_aside: tuple[tuple[str, str, str], ...]
    levels: tuple[LevelView, ...]
    foreseen: tuple[ChangeView, ...]
    pareto_k: float
    effective_guesses: float
    trusted: bool


def learned_view(learning: Learning) -> LearnedView:
    """Everything that was learned, in the order in which a day meets it."""
    learned, pasts = learning.learned, learning.pasts
    return LearnedView(
        brewery=learning.gathered.brewery,
        version=learning.gathered.version,
        brews=len(pasts),
        readings=sum(len(past.readings) for past in pasts),
        evening=0 if learning.evening is None else len(learning.evening.readings),
        unread=learning.gathered.unread,
        left_out=learning.gathered.left_out,
        set_aside=tuple((past.name, r.step, r.quantity) for past in learning.told for r in past.set_aside),
        levels=tuple(_levels(learning)),
        foreseen=_foreseen(learning),
        pareto_k=learned.pareto_k,
        effective_guesses=learned.effective,
        trusted=learned.pareto_k < TRUSTED_BELOW and learned.effective > FEWEST_EFFECTIVE,
    )


def _foreseen(learning: Learning) -> tuple[ChangeView, ...]:
    """What the next brew would give on a house nobody knows, and on this one."""
    found = belongings(learning.plan, learning.site)
    columns, figures = expected_of(learning.states, learning.learned, found)
    coming = expected(len(found), columns, figures)
    normal = standard_normal_latents(DRAWS, len(found), learning.seed)
    rows = coming.mean + normal @ np.linalg.cholesky(coming.covariance).T
    model = Model(learning.plan, learning.site)
    before, after = (model.forecast(np.asfortranarray(latents)) for latents in (normal, rows))
    return tuple(
        ChangeView(name=name, before=summarise(before[name]), after=summarise(after[name]))
        for name in TOLD
        if name in before
    )


def _levels(learning: Learning) -> Iterator[LevelView]:
    upcoming = belongings(learning.plan, learning.site)
    everything = _circumstances(learning, upcoming)
    found = list(everything.values())
    columns = np.arange(len(found))
    states, learned = learning.states, learning.learned
    at = met(found, columns)
    made_of = states.made_of(at)
    coming = learned.next_brew(made_of, states.family(at))
    drawn, logs = learned.draws(DRAWS, learning.seed)
    reading = next_readings(learning, upcoming)
    informed = _informed(learning)
    for row, one in enumerate(found):
        figure = one.figure
        sd = float(np.sqrt(coming.covariance[row, row]))
        mean = float(coming.mean[row])
        following = figure.known(mean, sd)
        family = int(states.family([at[row]])[0])
        brews = informed.get(key_of(one), [])
        comes = any(other is not None and key_of(other) == key_of(one) for other in upcoming)
        yield LevelView(
            name=figure.name,
            family=one.family,
            unit=figure.unit,
            kind=one.kind,
            gear=one.gear,
            published=HouseFigure(level=figure.level, scatter=figure.scatter),
            next_brew=HouseFigure(level=following.level, scatter=following.scatter),
            level=summarise(figure.draw(drawn @ made_of[row])),
            scatter=summarise(np.exp(logs[:, family]) * figure.slope(mean)) if family >= 0 else None,
            brews=len(brews),
            since=_since(learning, one),
            spread_gone=1.0 - sd,
            comes_next=comes,
            reading=reading.get(key_of(one)) if comes else None,
        )


def _circumstances(learning: Learning, upcoming: tuple[Belonging | None, ...]) -> dict[Key, Belonging]:
    """Every figure in every circumstance, as the newest brew that met it has it; what comes next first."""
    met_so_far = [upcoming, *(past.belongings for past in reversed(learning.told))]
    out: dict[Key, Belonging] = {}
    for found in met_so_far:
        for one in found:
            if one is not None and learning.states.knows(one.family):
                out.setdefault(key_of(one), one)
    order = {family: number for number, family in enumerate(dict.fromkeys(key[0] for key in out))}
    return dict(sorted(out.items(), key=lambda item: order[item[0][0]]))


def _informed(learning: Learning) -> dict[Key, list[str]]:
    """The brews, or the evening, whose readings tell something of each figure."""
    out: dict[Key, list[str]] = {}
    for past in learning.told:
        columns = of_house(learning.states, past.belongings)
        told = past.line.told(columns, np.eye(len(columns)))
        keys = [
            key_of(one) for k in columns if told[k] >= INFORMS and (one := past.belongings[k]) is not None
        ]
        for key in dict.fromkeys(keys):
            out.setdefault(key, []).append(past.name)
    return out


def _since(learning: Learning, one: Belonging) -> str:
    """The first brew with this gear, where the house did the same with other gear before."""
    if not one.gear:
        return ""
    for number, past in enumerate(learning.pasts):
        if any(other is not None and key_of(other) == key_of(one) for other in past.belongings):
            earlier = learning.pasts[:number]
            before = any(
                other is not None and other.family == one.family for p in earlier for other in p.belongings
            )
            return past.name if before else ""
    return ""
