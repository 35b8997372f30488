"""Hold five days against two samplers, and write what came out into docs/inference.md.

In:  `python tests/docs_inference.py` (some ten minutes; numpyro must be installed).
Out: the table in docs/inference.md; the same rows for the long test, which holds them to their bounds.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from gylebook.figures.draws import Array
from other_samplers import Target, nuts, target_of, walk
from simulated_days import FIVE, TWELVE, Days

PAGE = Path(__file__).parents[1] / "docs" / "inference.md"
PLACE = re.compile(r"(<!-- samplers -->\n).*?(<!-- end -->)", re.DOTALL)
DRAWS = 8000  # twice the usual, so that the noise of all three stays well within the bounds
TOLD = ("og", "fermenters.volume_l", "efficiency.fermenter")
# What is read, the seed of the day, how many readings are slips or bounds.
DAYS = {
    "five readings": (FIVE, 77, 0.0, ()),
    "five others": (FIVE, 78, 0.0, ()),
    "one of five a slip": (FIVE, 79, 0.25, ()),
    "two of five bounds": (FIVE, 80, 0.0, (2, 3)),
    "twelve readings": (TWELVE, 81, 0.0, ()),
}


@dataclass(frozen=True)
class Compared:
    """One day: k, and for each sampler the worst difference of a mean [sd] and of an sd [share], over all
    informed latents and the numbers told; how many draws each was worth."""

    day: str
    latents: int
    k: float
    ours: float
    nuts_mean: float
    nuts_sd: float
    nuts_worth: float
    emcee_mean: float
    emcee_sd: float
    emcee_worth: float


def compared(name: str) -> Compared:
    """One of the days."""
    read, seed, slips, bounds = DAYS[name]
    days = Days(read)
    (day,) = days.simulate(1, seed, slips=slips, bounds=bounds)
    target = target_of(days.model, day.seen)
    posterior = days.conditioned(day, DRAWS)
    ours = _numbers(days, target, posterior.latents[:, target.informed])
    walkers, steps = 300, 3000
    walked, turn = walk(target, walkers, 800, steps, seed)
    drawn, effective = nuts(target, 600, 4000, seed)
    apart = walked.reshape(steps, walkers, -1)[:: int(turn / 2)].reshape(-1, len(target.informed))
    emcee_mean, emcee_sd = _apart(ours, _numbers(days, target, apart))
    nuts_mean, nuts_sd = _apart(ours, _numbers(days, target, drawn))
    return Compared(
        day=name,
        latents=len(target.informed),
        k=posterior.diagnostic.pareto_k,
        ours=posterior.diagnostic.effective_draws,
        nuts_mean=nuts_mean,
        nuts_sd=nuts_sd,
        nuts_worth=effective,
        emcee_mean=emcee_mean,
        emcee_sd=emcee_sd,
        emcee_worth=walkers * steps / turn,
    )


def _numbers(days: Days, target: Target, inside: Array) -> Array:
    """The informed latents and the numbers told, (draws, numbers); all else at the prior's draws."""
    latents = np.asfortranarray(np.random.default_rng(9).standard_normal((len(inside), days.d)))
    latents[:, target.informed] = inside
    named = days.model.forecast(latents)
    return np.column_stack([inside, *(named[name] for name in TOLD)])


def _apart(ours: Array, theirs: Array) -> tuple[float, float]:
    """The worst difference of a mean, in their sds, and of an sd, as a share."""
    sd = theirs.std(axis=0)
    means = np.abs(ours.mean(axis=0) - theirs.mean(axis=0)) / sd
    return float(means.max()), float(np.abs(ours.std(axis=0) / sd - 1.0).max())


def table(rows: Iterable[Compared]) -> str:
    """The rows as a table of the manual."""
    lines = [
        "| day | latents | *k* | worth | NUTS: mean | sd | worth | emcee: mean | sd | worth |",
        "|---|---|---|---|---|---|---|---|---|---|",
    ]
    for row in rows:
        lines.append(
            f"| {row.day} | {row.latents} | {row.k:.2f} | {row.ours:,.0f} "
            f"| {row.nuts_mean:.3f} sd | {100 * row.nuts_sd:.1f} % | {row.nuts_worth:,.0f} "
            f"| {row.emcee_mean:.3f} sd | {100 * row.emcee_sd:.1f} % | {row.emcee_worth:,.0f} |"
        )
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    text = table(map(compared, DAYS))
    PAGE.write_text(PLACE.sub(lambda found: f"{found[1]}\n{text}\n{found[2]}", PAGE.read_text()))
    print(text)
