"""Say how far a beer lies from the spans that it was wanted within.

In:  a quality's values, as numbers or arrays, and its span.
Out: how many steps off it is; a cost; odds of lying inside.

Idea: outside a span a beer costs the square of how many steps it is off, a step being what a careful taster
or a hydrometer would just notice.  What is foreseen at the edge has even odds to lie outside, so the odds
of that cost too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.wish import Quality, Span
from gylebook.figures.draws import Array, Flags, Value, odds
from gylebook.gyle.names import Named

# What is just noticed; judgement.  Of bitterness and colour it is a share of the edge, and no less than this.
STEP: Mapping[Quality, float] = {"og": 0.002, "fg": 0.0015, "abv": 0.25, "ibu": 2.0, "colour_srm": 0.8}
SHARE_OF_EDGE: Mapping[Quality, float] = {"ibu": 0.10, "colour_srm": 0.12}
RISK = 1.5  # what it costs to lie outside for sure, were it by a hair
TOUCH = 1e-6  # of a step, which counts as inside
MOST_STEPS = 30.0  # beyond which it does not matter how much further


@dataclass(frozen=True, slots=True, kw_only=True)
class Nearness:
    """One quality of one beer: its middle, the span wanted, odds to lie inside; `steps` is below zero where
    it lies under the span, above zero over it, zero inside.
    """

    quality: Quality
    value: float
    span: Span
    steps: float
    odds_inside: float


def step_of(quality: Quality, edge: float) -> float:
    """What is just noticed at an edge of a span."""
    return max(STEP[quality], SHARE_OF_EDGE.get(quality, 0.0) * abs(edge))


def steps_off(quality: Quality, values: Value, span: Span) -> Array:
    """How many steps below (negative) or above a span each value lies; zero inside."""
    low, high = span
    found = np.asarray(values, dtype=float)
    off = np.zeros_like(found)
    if low is not None:
        off = np.minimum((found - low) / step_of(quality, low), off)
    if high is not None:
        off = np.where(off < 0.0, off, np.maximum((found - high) / step_of(quality, high), 0.0))
    return np.clip(np.where(np.abs(off) < TOUCH, 0.0, off), -MOST_STEPS, MOST_STEPS)


def missed(quality: Quality, values: Value, span: Span) -> Array:
    """The square of the steps off."""
    found: Array = np.square(steps_off(quality, values, span))
    return found


def risk(values: Value, span: Span, spread: Value) -> Array:
    """What the odds of lying outside cost, where the values are middles with this standard deviation."""
    from scipy.special import ndtr

    middle, sd = np.asarray(values, dtype=float), np.maximum(np.asarray(spread, dtype=float), 1e-12)
    low, high = span
    below = ndtr((low - middle) / sd) if low is not None else 0.0
    above = ndtr((middle - high) / sd) if high is not None else 0.0
    found: Array = RISK * np.asarray(below + above)
    return found


def nearness(aims: Mapping[Quality, Span], numbers: Named, key: str) -> tuple[Nearness, ...]:
    """Every quality that a portion was wanted within."""
    out = []
    for quality, span in aims.items():
        draws = np.asarray(numbers[f"portion.{key}.{quality}"])
        middle = float(np.median(draws))
        out.append(
            Nearness(
                quality=quality,
                value=middle,
                span=span,
                steps=float(steps_off(quality, middle, span)),
                odds_inside=odds(inside(quality, draws, span)),
            )
        )
    return tuple(out)


def odds_of_all(aims: Mapping[Quality, Span], numbers: Named, key: str) -> float:
    """Odds that a portion lies inside every span at once."""
    rows = np.shape(numbers[f"portion.{key}.og"])
    kept = np.ones(rows, dtype=bool)
    for quality, span in aims.items():
        kept &= inside(quality, numbers[f"portion.{key}.{quality}"], span)
    return odds(kept)


def inside(quality: Quality, values: Value, span: Span) -> Flags:
    """Whether each value lies inside its span."""
    found: Flags = steps_off(quality, values, span) == 0.0
    return found
