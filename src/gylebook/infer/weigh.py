"""Propose draws around the most probable latents, and weigh each by what it should have been.

In:  the readings, how they look from the prior's centre, draws of the prior.
Out: weighted draws, with the shape k of the weights' tail and the odds that each reading is a slip.

Idea: nearly all readings are right, so nearly all draws are proposed around the one mode where they are.
Where leaving a reading out, or taking a slip back in, is not far less likely, some of the draws are proposed
as if it were so; a draw is weighed together with the set of right readings for which it was proposed, so that
each set gets the probability that is its own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gylebook.figures.draws import Array
from gylebook.infer.laplace import (
    NEAR,
    Mode,
    Point,
    climb_on,
    find_mode,
    judged,
    looked_at,
    neighbours,
)
from gylebook.infer.likelihood import Readings
from gylebook.infer.proposal import Base, Proposal, Proposed, informed_directions, laplace_proposal
from gylebook.infer.psis import pareto_smoothed, trusted_below
from gylebook.infer.slips import Case, all_right, cases, likeliest

MISJUDGED = 0.1  # odds of being right, from draws for which a reading is a slip, that cannot be left at that
TURNS = 3  # at most, in which the likeliest set of right readings may still change


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Part:
    """The draws, neighbours in a row, that are proposed for one set of right readings."""

    case: Case
    columns: slice
    proposal: Proposal
    base: Base

    def seen(self, residuals: Array) -> Part:
        """The same with its draws nearer to their ridge, from the residuals of all draws on it."""
        return replace(self, base=self.proposal.stepped(self.base, residuals[:, self.columns]))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weighted:
    """Proposed latents (d, draws) with smoothed weights and k; the mode and the parts they came from."""

    readings: Readings
    mode: Mode
    latents: Array
    residuals: Array
    weights: Array
    k: float
    parts: tuple[Part, ...]
    proposed: tuple[Proposed, ...]

    def slips(self) -> Array:
        """The odds that each reading is a slip, 0..1."""
        odds = np.zeros(len(self.mode.gap))
        for part in self.parts:
            odds += ~part.case.kept * self.weights[part.columns].sum()
        return odds

    def misjudged(self) -> bool:
        """Whether the draws explain a reading that a straight forecast makes a slip.

        Among draws for which it is a slip, the mean of its likelihood over that of a slip is what being right
        would have for odds, however the forecast bends.
        """
        for number in np.flatnonzero(~self.readings.kept):
            out, right = 0.0, 0.0
            for part in self.parts:
                weights = self.weights[part.columns]
                if part.case.kept[number]:
                    right += float(weights.sum())
                else:
                    residual = self.residuals[number, part.columns]
                    fits = np.exp(-0.5 * np.square(residual) - self.readings.floors[number])
                    out += float(weights @ np.nan_to_num(fits, nan=0.0, posinf=0.0))
            if out > MISJUDGED and out > 3.0 * right:
                return True
        return False


def weighted_draws(readings: Readings, start: Point, prior: Array, rng: np.random.Generator) -> Weighted:
    """Weighted draws around the ridge; better ones, at further forecasts, while k is too high."""
    near = find_mode(readings, start, NEAR)
    found = cases(readings, near)
    if len(found) > 1 and not (kept := likeliest(readings, near)).all():
        readings = readings.keeping(
            kept
        )  # up there, the rest may look odd too: climb without what does not fit
        near = find_mode(readings, judged(readings, near).start, NEAR)
        found = cases(readings, near)
    mode, parts = _on_ridge(readings, near, found, prior)
    if near.converged and not mode.converged:  # it bends more than the last step could tell
        mode, parts = _climbed(readings, mode, prior)
    for _ in range(TURNS):
        if all_right(readings, mode):
            break
        kept = likeliest(readings, mode)
        if np.array_equal(kept, readings.kept):
            break
        readings = readings.keeping(kept)
        mode, parts = _climbed(readings, judged(readings, mode), prior)
    best = _weighed(readings, mode, parts, prior, rng)
    # Below that bound a refit, for one more forecast, takes at most 0.01 sd off the error of a mean.
    trusted = trusted_below(prior.shape[1])
    if best.k > trusted:
        best = min(best, _weighed(readings, mode, _refitted(best), prior, rng), key=lambda w: w.k)
    if best.k > trusted:  # one more step costs 2 forecasts, the slow way some 100
        latents = np.empty_like(prior)
        for part in parts:
            part.proposal.on_ridge(part.base, latents[:, part.columns])
        residuals = readings.residuals(readings.gaps(latents))
        bases = [part.seen(residuals).base for part in parts]
        nearer = [replace(p, base=base) for p, base in zip(_refitted(best), bases, strict=True)]
        best = min(best, _weighed(readings, mode, nearer, prior, rng), key=lambda w: w.k)
    return best


def _climbed(readings: Readings, mode: Mode, prior: Array) -> tuple[Mode, list[Part]]:
    """The draws near their ridge, after climbing on."""
    near = climb_on(readings, mode)
    return _on_ridge(readings, near, cases(readings, near), prior)


def _on_ridge(
    readings: Readings, near: Mode, found: tuple[Case, ...], prior: Array
) -> tuple[Mode, list[Part]]:
    """The draws near their ridge, from one forecast in which the mode is looked at a last time."""
    draws, across = prior.shape[1], informed_directions(near.steep)
    columns = np.empty((len(prior), draws + 1 + near.latents.size))
    columns[:, draws:] = neighbours(near.latents)
    parts = []
    for case, some in _shared_out(found, draws):
        proposal = laplace_proposal(_settled(near, case), across)
        base = proposal.base(prior[:, some])
        proposal.on_ridge(base, columns[:, some])
        parts.append(Part(case=case, columns=some, proposal=proposal, base=base))
    gaps = readings.gaps(columns)
    mode, residuals = looked_at(readings, near, gaps[:, draws:]), readings.residuals(gaps)
    turned = [replace(part, proposal=laplace_proposal(_settled(mode, part.case), across)) for part in parts]
    return mode, [part.seen(residuals) for part in turned]


def _settled(mode: Point, case: Case) -> Point:
    """Where the mode lies for another set of right readings, if the forecast is straight so far."""
    if np.array_equal(mode.kept, case.kept):
        return mode
    at = mode.keeping(case.kept)
    return at.stepped(at.step()[0])


def _shared_out(found: tuple[Case, ...], draws: int) -> list[tuple[Case, slice]]:
    """Each case with its share of the draws; the first has what the others leave."""
    counts = [round(case.share * draws) for case in found[1:]]
    ends = np.cumsum([draws - sum(counts), *counts])
    return [
        (replace(case, share=(end - first) / draws), slice(first, end))
        for case, first, end in zip(found, [0, *ends[:-1].tolist()], ends.tolist(), strict=True)
        if end > first
    ]


def _weighed(
    readings: Readings, mode: Mode, parts: list[Part], prior: Array, rng: np.random.Generator
) -> Weighted:
    latents = np.empty_like(prior)
    proposed = [part.proposal.propose(part.base, rng, latents[:, part.columns]) for part in parts]
    residuals = readings.residuals(readings.gaps(latents))
    log_weights = np.empty(prior.shape[1])
    for part, drawn in zip(parts, proposed, strict=True):
        likely = readings.keeping(part.case.kept).log_likelihood(residuals[:, part.columns])
        log_weights[part.columns] = likely + drawn.log_ratio - np.log(part.case.share)
    weights, k = pareto_smoothed(log_weights)
    return Weighted(
        readings=readings,
        mode=mode,
        latents=latents,
        residuals=residuals,
        weights=weights,
        k=k,
        parts=tuple(parts),
        proposed=tuple(proposed),
    )


def _refitted(best: Weighted) -> list[Part]:
    """The parts with their proposals fitted to the weighted draws, where these have any weight."""
    out = []
    for part, drawn in zip(best.parts, best.proposed, strict=True):
        weights = best.weights[part.columns]
        total = weights.sum()
        fitted = part.proposal.refitted(drawn.relative, weights / total) if total > 0.0 else part.proposal
        out.append(replace(part, proposal=fitted))
    return out
