"""Find the salts that bring a liquor as close as they can to the ions wanted.

In:  a liquor, target ions with tolerances and bounds, the salts at hand, purer water where there is some.
Out: `Doses`: g/L of each salt, the share of purer water, the liquor got, how far each ion misses.

Idea: misses are counted in tolerances, squared and summed; doses are never negative and ions stay within
their bounds.  That is a least-distance problem, whose answer is the remainder of one non-negative least
squares (Lawson and Hanson, Solving Least Squares Problems, 1974, ch. 23).  Several recipes often do equally
well, as neutral salts span one dimension less than the ions: the one of fewest salts is taken, then of
those named first.  Mash and rinse liquor are solved for one at a time, each with its own target.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from gylebook.errors import Problem, Refused
from gylebook.figures.draws import Array
from gylebook.matter.ions import CHARGE, MOLAR_MASS
from gylebook.matter.solution import Solution
from gylebook.process.liquor import diluted
from gylebook.process.salts import salt_of, totals_per_mole, with_salts

NEUTRAL_SALTS = ("gypsum", "calcium-chloride", "common-salt", "epsom-salt", "magnesium-chloride")
"""Salts for flavour, in the order they are preferred.

Baking soda and lime are left to the mash pH: a profile is no reason to make a mash alkaline.
"""
MOST_SALTS = 9
"""Salts that may be at hand: every choice among them is tried."""
SLACK = 0.05
"""A salt is left out where the miss, in tolerances, grows by no more than this."""

_USUAL_MG = {"calcium": 10.0, "magnesium": 5.0, "sodium": 15.0, "chloride": 15.0, "sulphate": 20.0}
TOLERANCE: Mapping[str, float] = MappingProxyType(
    {ion: mg / MOLAR_MASS[ion] for ion, mg in _USUAL_MG.items()}
    | {"alkalinity": 15.0 / MOLAR_MASS["bicarbonate"]}
)
"""How near each ion is to come, where nothing else is said: common practice.  [mmol/L, alkalinity mEq/L]"""

_DEAREST = 1e-4  # weight of a gram per litre, in tolerances: decides only where nothing else does
_GIVE = 1e-7  # by which every bound gives way, so that a range of no width has room [mmol/L, g/L]
_FEASIBLE = 1e-9
_SAME = 1e-4  # less than a hundredth of a milligram of any ion [mmol/L]


class Aim(NamedTuple):
    """What one ion, or the alkalinity, is to be. [mmol/L, alkalinity mEq/L]"""

    target: float
    tolerance: float
    least: float = 0.0
    most: float = np.inf


class Doses(NamedTuple):
    """One recipe for a liquor."""

    grams_per_l: Mapping[str, float]  # of those salts that are needed
    purer_share: float  # of the liquor replaced by purer water
    liquor: Solution
    misses: Mapping[str, float]  # got less wanted, in the unit of the aim
    miss: float  # all of them, each over its tolerance, squared, summed and rooted
    outside: tuple[str, ...]  # ions that no recipe brings within their bounds
    charge_gap: float  # mEq/L by which no neutral salt can meet the change wanted


def aims(
    targets: Mapping[str, float], bounds: Mapping[str, tuple[float, float]] | None = None
) -> dict[str, Aim]:
    """Aims at the usual tolerances. [mmol/L, alkalinity mEq/L]  Raises `Refused` with all that is wrong."""
    bounds = bounds or {}
    problems = []
    for ion, target in targets.items():
        least, most = bounds.get(ion, (0.0, np.inf))
        if ion not in TOLERANCE:
            problems.append(Problem("target", f"“{ion}”", f"a liquor is aimed at {', '.join(TOLERANCE)}"))
        elif not 0.0 <= target < np.inf:
            problems.append(Problem(f"target {ion}", f"{target:g} mmol/L", "no ion is below nothing"))
        elif not 0.0 <= least <= target <= most:
            accepted = "the target lies between its bounds, and these above nothing"
            problems.append(Problem(f"target {ion}", f"{target:g} in {least:g} to {most:g} mmol/L", accepted))
    if problems:
        raise Refused(problems)
    return {ion: Aim(target, TOLERANCE[ion], *bounds.get(ion, ())) for ion, target in targets.items()}


def salt_doses(
    liquor: Solution,
    wanted: Mapping[str, Aim],
    salts: Sequence[str] = NEUTRAL_SALTS,
    purer: Solution | None = None,
    slack: float = SLACK,
) -> Doses:
    """The recipe that comes closest with the fewest salts.

    Parameters
    ----------
    liquor
        As it is, one number each; draws are judged by the caller on the doses found.
    wanted
        An aim for each ion that matters; ions without one go where they will.
    salts
        At hand, up to nine, in the order they are preferred.
    purer
        Water to dilute with, such as `reverse_osmosis` makes; None where there is none.
    slack
        What leaving salts out may add to the miss; at 0 only what does nothing is left out.

    Notes
    -----
    A bound that cannot be kept is told in `outside`: an ion already above its most gets no more of it, and if
    the leasts then cannot all be met they give way.
    """
    if len(salts) > MOST_SALTS:
        accepted = f"up to {MOST_SALTS} salts are tried at a time"
        raise Refused([Problem("salts", f"{len(salts)} of them", accepted)])
    problem = _Problem(liquor, wanted, salts, purer)
    everything = tuple(range(len(salts)))
    level, best = next(
        (level, found) for level in range(3) if (found := problem.solve(everything, level)) is not None
    )
    allowed = problem.miss(best) + slack + 1e-9
    for size in range(len(salts) + 1):
        fits = []
        for chosen in combinations(everything, size):
            found = problem.solve(chosen, level)
            if found is not None and (miss := problem.miss(found)) <= allowed:
                fits.append((sum(chosen), miss, found))
        if fits:
            _, _, best = min(fits, key=lambda fit: fit[:2])
            break
    return problem.told(best)


class _Problem:
    """One liquor and its aims as matrices, in tolerances; the last column is dilution where there is any."""

    def __init__(
        self, liquor: Solution, wanted: Mapping[str, Aim], salts: Sequence[str], purer: Solution | None
    ) -> None:
        self.liquor, self.wanted, self.salts, self.purer = liquor, wanted, tuple(salts), purer
        ions = list(wanted)
        self.start = np.array([float(getattr(liquor, ion)) for ion in ions])
        columns = []
        for key in salts:
            salt = salt_of(key)
            per_mole = totals_per_mole(salt)
            per_gram = salt.acting[0] * 1e3 / salt.molar_mass
            columns.append([per_gram * per_mole.get(ion, 0) for ion in ions])
        if purer is not None:
            columns.append([float(getattr(purer, ion)) - float(getattr(liquor, ion)) for ion in ions])
        self.effect = np.array(columns).reshape(-1, len(ions)).T
        self.target = np.array([aim.target for aim in wanted.values()])
        self.least = np.array([aim.least for aim in wanted.values()])
        self.most = np.array([aim.most for aim in wanted.values()])
        self.weight = 1.0 / np.array([aim.tolerance for aim in wanted.values()])

    def solve(self, chosen: tuple[int, ...], level: int) -> Array | None:
        """Doses of the chosen salts, none of the others; None where bounds of that level exclude it."""
        columns = [*chosen, *([len(self.salts)] if self.purer is not None else [])]
        full = np.zeros(self.effect.shape[1])
        most = np.maximum(self.most, self.start) if level else self.most
        if not columns:
            kept = np.all(self.start <= most) and (level == 2 or np.all(self.least <= self.start))
            return full if kept else None
        effect = self.effect[:, columns]
        rows, floors = [np.eye(len(columns))], [np.zeros(len(columns))]
        if self.purer is not None:
            rows.append(-np.eye(len(columns))[-1:])
            floors.append(np.array([-1.0]))
        bounded = np.isfinite(most)
        rows.append(-effect[bounded])
        floors.append(self.start[bounded] - most[bounded])
        if level < 2:
            rows.append(effect)
            floors.append(self.least - self.start)
        found = _least_distance(
            np.vstack([self.weight[:, None] * effect, _DEAREST * np.eye(len(columns))]),
            np.append(self.weight * (self.target - self.start), np.zeros(len(columns))),
            np.vstack(rows),
            np.concatenate(floors) - _GIVE,
        )
        if found is None:
            return None
        full[columns] = np.maximum(found, 0.0)
        return full

    def miss(self, doses: Array) -> float:
        """All misses together, in tolerances."""
        return float(np.linalg.norm(self.weight * (self.start + self.effect @ doses - self.target)))

    def told(self, doses: Array) -> Doses:
        """The recipe; salts are weighed for litres of the blend."""
        grams = {key: float(dose) for key, dose in zip(self.salts, doses, strict=False) if dose > 1e-6}
        share = float(min(doses[-1], 1.0)) if self.purer is not None else 0.0
        blend = self.liquor if self.purer is None else diluted(self.liquor, share, self.purer)
        got = self.start + self.effect @ doses
        outside = [
            ion
            for ion, amount, least, most in zip(self.wanted, got, self.least, self.most, strict=True)
            if not least - _SAME <= amount <= most + _SAME
        ]
        change = dict(zip(self.wanted, self.target - self.start, strict=True))
        gap = sum(CHARGE.get(ion, -1) * amount for ion, amount in change.items())
        return Doses(
            grams,
            share,
            with_salts(blend, grams),
            dict(zip(self.wanted, (got - self.target).tolist(), strict=True)),
            self.miss(doses),
            tuple(outside),
            float(gap),
        )


def _least_distance(matrix: Array, target: Array, rows: Array, floors: Array) -> Array | None:
    """The x of least |matrix x - target| with rows x >= floors; None where no x is."""
    from scipy.optimize import nnls

    q, r = np.linalg.qr(matrix)
    inverse = np.linalg.inv(r)
    middle = q.T @ target
    turned = rows @ inverse
    reach = floors - turned @ middle
    scale = max(1.0, float(np.max(np.abs(reach))))
    dual, _ = nnls(np.vstack([turned.T, reach / scale]), np.append(np.zeros(len(middle)), 1.0))
    slack = 1.0 - float(reach @ dual) / scale
    if slack < _FEASIBLE:
        return None
    nearest: Array = inverse @ (middle + scale * (turned.T @ dual) / slack)
    return nearest
