"""Hold what a face may show of readings taken: how each stands to the rest, how all were taken in.

In:  nothing; `tasks.reading_view` fills them.
Out: frozen records, as in `tasks.views`.
"""

from __future__ import annotations

from dataclasses import dataclass

DOUBTFUL = 3.0  # sds from what the rest says, beyond which a reading wants a second look


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingView:
    """A reading taken, and how it stands to all that the rest says.

    `value`, `expected` and `meant` are in the base unit of its quantity (°P for a gravity, °Bx on a
    refractometer), `expected` by the rest; `from_prior` and `from_rest` in sds.  `odds_slip` is the
    probability that it was written down wrong and says nothing; `slip` names how, where one guess fits, and
    `meant` is what it would be then; `sample_c` the temperature that a sample would have had.
    """

    step: str
    quantity: str
    value: float
    beyond: str
    at: str
    instrument: str
    kind: str
    from_prior: float
    from_rest: float
    expected: float
    odds_slip: float
    slip: str = ""
    meant: float | None = None
    sample_c: float | None = None

    @property
    def doubtful(self) -> bool:
        """Whether it wants a second look."""
        return abs(self.from_rest) > DOUBTFUL or self.odds_slip >= 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class TrustView:
    """How the readings were taken in, what that is worth in draws, and whether the search settled."""

    method: str
    pareto_k: float
    trusted_below: float
    effective_draws: float
    draws: int
    converged: bool
    folded: bool
