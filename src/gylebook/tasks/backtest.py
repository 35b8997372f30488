"""Hold past brews to what would have been foreseen of them, as published and as learned until then.

In:  what was gathered from a book.
Out: `Backtest`: errors, intervals and scores of one-step-ahead forecasts, reading by reading.

Idea: each brew is forecast from the brews before it and from nothing later, with each figure by itself as
a brewery file states it, then it is learned from.  So what is shown is what the next plan gets.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.instruments import SHOWN_IN
from gylebook.figures.draws import Array
from gylebook.infer.learn import Following
from gylebook.infer.straight import Line
from gylebook.tasks.learning import Columns, Learning, evidence_from, expected_of, line_of
from gylebook.tasks.past import Past, Progress

INSIDE_90 = 1.6448536269514722  # sds either side of the middle that hold 90 in 100 of a normal
# An efficiency counts as known where these were read: (step, quantity).
EFFICIENCIES = {
    "efficiency.kettle": {("preboil", "volume"), ("preboil", "gravity")},
    "efficiency.fermenter": {("fermenters", "volume"), ("fermenters", "gravity")},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecasts:
    """How one kind of forecast did: mean absolute error, share inside the 90 % interval, mean sd."""

    error: float
    inside: float | None
    spread: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One reading against its forecasts, all counted from the middle of the published one.

    `came` is the reading, `learned` the middle of the learned forecast, the others are sds.
    """

    came: float
    published_sd: float
    learned: float
    learned_sd: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of reading, or an efficiency: how often it came, and how it was foreseen both ways.

    `unit` is as the instrument shows it; a share for an efficiency, for which intervals are not kept.
    `steps` are the readings one after the other; none for an efficiency.
    """

    step: str
    quantity: str
    unit: str
    count: int
    published: Forecasts
    learned: Forecasts
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Foreseen:
    """One brew: its number of readings, and by how much (log) the learned forecast thought them likelier."""

    brew: str
    readings: int
    likelier: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Backtest:
    """All kinds of reading, and every brew in turn."""

    kinds: tuple[Kind, ...]
    brews: tuple[Foreseen, ...]

    @property
    def readings(self) -> int:
        """How many readings were foreseen."""
        return sum(brew.readings for brew in self.brews)

    @property
    def likelier_each(self) -> float:
        """Mean gain in log density for each reading."""
        return sum(brew.likelier for brew in self.brews) / self.readings

    def inside(self, learned: bool) -> float:
        """Share of all readings inside their 90 % interval."""
        found = [(k.count, (k.learned if learned else k.published).inside) for k in self.kinds]
        return sum(n * share for n, share in found if share is not None) / self.readings


@dataclass(slots=True, eq=False)
class _Seen:
    """What was foreseen of one kind: errors in its unit, and sds, one row (published, learned) each."""

    unit: str
    errors: list[tuple[float, float]]
    spreads: list[tuple[float, float]]


def backtest(learning: Learning, *, progress: Progress = lambda done, of: None) -> Backtest:
    """Forecast every brew of the past from those before it."""
    following = Following(learning.states.house(), seed=learning.seed)
    seen: dict[tuple[str, str, str], _Seen] = {}
    brews = []
    for done, past in enumerate(learning.pasts):
        progress(done, len(learning.pasts))
        learned = following.foreseen(past.when)
        line = line_of(learning.states, learned, past)
        columns, figures = expected_of(learning.states, learned, past.belongings)
        alone = np.diag(np.diag(figures.covariance))
        as_published = past.line.spread(columns, np.eye(len(columns)))
        as_learned = line.spread(columns, alone)
        gain = _log_density(line.middle, as_learned) - _log_density(past.line.middle, as_published)
        brews.append(Foreseen(brew=past.name, readings=len(past.readings), likelier=gain))
        _note_readings(seen, past, line, as_published, as_learned)
        _note_efficiencies(seen, past, columns, figures.mean, as_published)
        following.take(evidence_from(learning.states, [past], [line])[0])
    progress(len(learning.pasts), len(learning.pasts))
    return Backtest(kinds=tuple(_kinds(seen)), brews=tuple(brews))


def _log_density(off: Array, covariance: Array) -> float:
    """Log density of a normal, less what both forecasts share."""
    _, size = np.linalg.slogdet(covariance)
    return float(-0.5 * (off @ np.linalg.solve(covariance, off) + size))


def _note_readings(
    seen: dict[tuple[str, str, str], _Seen], past: Past, line: Line, published: Array, learned: Array
) -> None:
    """Each reading's distance from either forecast, in the instrument's unit."""
    sds = np.sqrt(np.diag(published)), np.sqrt(np.diag(learned))
    for row, (reading, error) in enumerate(zip(past.readings, past.errors, strict=True)):
        unit = SHOWN_IN[past.brewery.instruments[reading.instrument].kind]
        kind = seen.setdefault((reading.step, reading.quantity, unit), _Seen(unit, [], []))
        kind.errors.append((float(error * past.line.middle[row]), float(error * line.middle[row])))
        kind.spreads.append((float(error * sds[0][row]), float(error * sds[1][row])))


def _note_efficiencies(
    seen: dict[tuple[str, str, str], _Seen], past: Past, columns: Columns, mean: Array, published: Array
) -> None:
    """The efficiency that the brew's own readings tell, against what either forecast had."""
    read = {(reading.step, reading.quantity) for reading in past.readings}
    names = [name for name, needed in EFFICIENCIES.items() if needed <= read]
    if not names or not past.plan.grist:
        return
    rows = np.zeros((3, len(past.belongings)), order="F")
    rows[1, columns] = mean
    rows[2] = past.line.slope.T @ np.linalg.solve(published, past.line.middle)
    numbers = past.model.forecast(rows)
    for name in names:
        as_published, as_learned, came = np.asarray(numbers[name])
        kind = seen.setdefault((name, "efficiency", "share"), _Seen("share", [], []))
        kind.errors.append((came - as_published, came - as_learned))


def _kinds(seen: dict[tuple[str, str, str], _Seen]) -> Iterable[Kind]:
    for (step, quantity, unit), found in seen.items():
        errors = np.array(found.errors)
        spreads = np.array(found.spreads) if found.spreads else None
        both = []
        for way in range(2):
            inside = spread = None
            if spreads is not None:
                inside = float(np.mean(np.abs(errors[:, way]) <= INSIDE_90 * spreads[:, way]))
                spread = float(np.mean(spreads[:, way]))
            error = float(np.mean(np.abs(errors[:, way])))
            both.append(Forecasts(error=error, inside=inside, spread=spread))
        yield Kind(
            step=step,
            quantity=quantity,
            unit=unit,
            count=len(errors),
            published=both[0],
            learned=both[1],
            steps=tuple(
                Step(came=came, published_sd=sds[0], learned=came - off, learned_sd=sds[1])
                for (came, off), sds in zip(found.errors, found.spreads, strict=False)
            ),
        )
