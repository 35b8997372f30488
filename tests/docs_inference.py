"""Hold some days against two samplers, and write what came out into docs/inference.md.

In:  `python tests/docs_inference.py` (some twenty minutes; numpyro must be installed).
Out: the table in docs/inference.md; the same rows for the long test, which holds them to their bounds.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from gylebook.figures.draws import Array
from other_samplers import Target, nuts, target_of, walk
from simulated_days import FIVE, TWELVE, Days

PAGE = Path(__file__).parents[1] / "docs" / "inference.md"
PLACE = re.compile(r"(<!-- samplers -->\n).*?(<!-- end -->)", re.DOTALL)
DRAWS = 16_000  # four times the usual, so that the noise of ours stays well within the bounds
TOLD = ("og", "fermenters.volume_l", "efficiency.fermenter")
# What is read, the seed of the day, the share of readings that are slips, which are bounds, and whether the
# model thinks of slips.
SEVEN = (*FIVE, ("boil end", "gravity", "hydrometer"), ("fermenters", "volume", "dipstick"))
DAYS = {
    "five readings": (FIVE, 77, 0.0, (), False),
    "five readings, another day": (FIVE, 82, 0.0, (), False),
    "seven readings": (SEVEN, 83, 0.0, (), False),
    "two of five bounds": (FIVE, 80, 0.0, (2, 3), False),
    "twelve readings": (TWELVE, 81, 0.0, (), False),
    "five that may be slips": (FIVE, 78, 0.0, (), True),
    "one of five a slip": (FIVE, 79, 0.25, (), True),
}


@dataclass(frozen=True)
class Compared:
    """One day: k, how many draws each way is worth, and how far NUTS and emcee are from ours."""

    day: str
    latents: int
    k: float
    ours: float
    nuts: Apart
    nuts_worth: float
    emcee: Apart
    emcee_worth: float


@dataclass(frozen=True)
class Apart:
    """The worst difference over all informed latents and the numbers told: of a mean, in sds; of an sd and of
    the width of a 90 % interval, as shares."""

    mean: float
    sd: float
    width: float


def compared(name: str) -> Compared:
    """One of the days."""
    read, seed, slips, bounds, doubt = DAYS[name]
    days = Days(read)
    (day,) = days.simulate(1, seed, slips=slips, bounds=bounds)
    if not doubt:
        day = replace(day, seen=tuple(replace(one, doubt=0.0) for one in day.seen))
    target = target_of(days.model, day.seen)
    posterior = days.conditioned(day, DRAWS)
    ours = _numbers(days, target, posterior.latents[:, target.informed])
    walkers, steps = 300, 2000
    walked, turn = walk(target, ~day.slips, walkers, 800, steps, seed)
    apart = walked.reshape(steps, walkers, -1)[:: int(turn / 2)].reshape(-1, len(target.informed))
    drawn, effective = nuts(target, 1500, 12_000, seed)
    return Compared(
        day=name,
        latents=len(target.informed),
        k=posterior.diagnostic.pareto_k,
        ours=posterior.diagnostic.effective_draws,
        nuts=_apart(ours, _numbers(days, target, drawn)),
        nuts_worth=effective,
        emcee=_apart(ours, _numbers(days, target, apart)),
        emcee_worth=walkers * steps / turn,
    )


def _numbers(days: Days, target: Target, inside: Array) -> Array:
    """The informed latents and the numbers told, (draws, numbers); all else at the prior's draws."""
    latents = np.asfortranarray(np.random.default_rng(9).standard_normal((len(inside), days.d)))
    latents[:, target.informed] = inside
    named = days.model.forecast(latents)
    return np.column_stack([inside, *(named[name] for name in TOLD)])


def _apart(ours: Array, theirs: Array) -> Apart:
    sd = theirs.std(axis=0)
    width, other = (np.diff(np.quantile(draws, (0.05, 0.95), axis=0), axis=0)[0] for draws in (ours, theirs))
    return Apart(
        mean=float(np.max(np.abs(ours.mean(axis=0) - theirs.mean(axis=0)) / sd)),
        sd=float(np.max(np.abs(ours.std(axis=0) / sd - 1.0))),
        width=float(np.max(np.abs(width / other - 1.0))),
    )


def table(rows: Iterable[Compared]) -> str:
    """The rows as a table of the manual."""
    lines = [
        "| day | latents | *k* | worth | NUTS: mean | sd | interval | worth "
        "| emcee: mean | sd | interval | worth |",
        "|---|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    for row in rows:
        others = [
            f"{apart.mean:.3f} sd | {100 * apart.sd:.1f} % | {100 * apart.width:.1f} % | {worth:,.0f}"
            for apart, worth in ((row.nuts, row.nuts_worth), (row.emcee, row.emcee_worth))
        ]
        lines.append(f"| {row.day} | {row.latents} | {row.k:.2f} | {row.ours:,.0f} | {' | '.join(others)} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    text = table(map(compared, DAYS))
    PAGE.write_text(PLACE.sub(lambda found: f"{found[1]}\n{text}\n{found[2]}", PAGE.read_text()))
    print(text)
