"""Time the treatment of a liquor and its mash pH on 4,000 draws."""

from __future__ import annotations

import time
from statistics import median

import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture

from gylebook.figures.draws import Array
from gylebook.matter.solution import Solution
from gylebook.matter.titration import with_acid
from gylebook.process.acid_doses import ACIDS, STRENGTH, millimoles
from gylebook.process.malt_ph import MALTS, MODEL_SHIFT_PH, grist_of
from gylebook.process.mash_ph import Mash, carbonate_by_ph, mash_ph
from gylebook.process.rinse_liquor import acid_for_rinse
from gylebook.process.salts import with_salts

DRAWS = 4_000
BUDGET_S = 10e-3


def draws(level: float, scatter: float, seed: int) -> Array:
    return level + scatter * np.random.default_rng(seed).standard_normal(DRAWS)


MALT = MALTS["pale"]
KNOWN, BUFFER, SHIFT = draws(*MALT.known, 1), draws(*MALT.buffer, 2), draws(*MODEL_SHIFT_PH, 3)
ALKALINITY, CALCIUM, STRONG = draws(2.0, 0.1, 4), draws(1.2, 0.06, 5), draws(*STRENGTH["lactic"], 6)
KEPT, DIVISOR, GYPSUM = draws(0.75, 0.05, 7), draws(3.5, 0.3, 8), draws(1.0, 0.01, 9)


def treated() -> tuple[Array, Array]:
    """Tap, gypsum, lactic acid, mash; and the acid of its rinse liquor."""
    tap = Solution(calcium=CALCIUM, alkalinity=ALKALINITY, carbonate=carbonate_by_ph(ALKALINITY, 7.6))
    acid = ACIDS["lactic-88"]
    liquor = with_salts(tap, {"gypsum": 8.0 / 41.0}, {"gypsum": GYPSUM})
    liquor = with_acid(liquor, acid.kind, millimoles(acid, 10.0, STRONG) / 41.0)
    grist = grist_of([10.7], [MALT], [KNOWN], [BUFFER], SHIFT)
    return mash_ph(Mash(grist, 41.0, liquor, KEPT, DIVISOR)), acid_for_rinse(tap, acid.kind).mmol_per_l


def test_treatment_mash_ph_and_rinse_acid(benchmark: BenchmarkFixture) -> None:
    """All of it within 10 ms, every figure uncertain."""
    ph, dose = benchmark(treated)
    assert ph.shape == dose.shape == (DRAWS,)

    taken = []
    for _ in range(20):
        start = time.perf_counter()
        treated()
        taken.append(time.perf_counter() - start)
    assert median(taken) <= BUDGET_S
