"""Hold what a face may show of a portion in fermentation, as plain records of numbers.

In:  nothing; `tasks.ferment_state` fills them.
Out: frozen records; gravities are SG, times hours since pitching, one point is 0.001 SG.

Idea: as in `tasks.views`, nothing here computes or formats; a verdict is a key that a face words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gylebook.figures.draws import Summary
from gylebook.process.stability import Organism
from gylebook.tasks.trust import TrustView

State = Literal["on its way", "slow", "stuck", "runaway", "as good as finished"]
STATES: tuple[State, ...] = ("on its way", "slow", "stuck", "runaway", "as good as finished")


AMISS: tuple[State, ...] = ("stuck", "runaway")


@dataclass(frozen=True, slots=True, kw_only=True)
class GravityTaken:
    """One gravity read: `value` as on its instrument (°P, or °Bx), and the gravity that the curve has there.

    `sg` is the reading put right for warmth and alcohol, `misfit_sd` how far it lies from what others say.
    """

    at: str
    hours: float
    instrument: str
    kind: str
    value: float
    sg: float
    curve: Summary
    misfit_sd: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """Where gravity lies at an hour: 90 of 100 futures between low and high."""

    hours: float
    low: float
    median: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingView:
    """How long gravity has stood still, how long it should for the slowest organism, and what may follow.

    `unseen_points` bounds what readings that agree leave possible, 95 in 100, None where no two agree;
    `left_points` is what the curve, or the yeast where it stopped early, could still take.  `wait_days` count
    from the last reading, and `asked_days` is for how long equal readings are asked.
    """

    organism: Organism
    tau_days: float
    stood_days: float
    unseen_points: float | None
    left_points: Summary
    asked_days: float
    wait_days: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FermentView:
    """One portion in fermentation.

    `odds` are those of every state and add to one; `end_is_guess` says that the end is still what was
    expected before the yeast went in, and `end_told_from_at` from when readings will tell it.  `near_end_h`
    is when gravity comes within `near_points` of its end, `near_end_at` the same moments (low, median, high).
    """

    key: str
    name: str
    yeast: str
    pitched: str
    last_h: float
    verdict: State
    odds: dict[State, float]
    end_is_guess: bool
    original: Summary
    now: Summary
    expected_end: Summary
    end: Summary
    abv: Summary
    attenuation: Summary
    midpoint_h: Summary
    end_told_from_at: str
    near_end_h: Summary
    near_points: float
    near_end_at: tuple[str, str, str]
    standing: StandingView
    taken: tuple[GravityTaken, ...]
    band: tuple[Reach, ...]
    model_sd: float
    widened: bool
    trust: TrustView
