"""Declare an uncertain coefficient once, and turn its standard-normal latent into draws.

In:  a name, a unit, a level with its scatter, a transform and the source of both numbers.
Out: draws of the coefficient from a column of latents.

Idea: the model's only uncertain input is a matrix of standard-normal latents; everything a figure is
(positive, a share, free) sits in its transform, so that inference works on one plain Gaussian space.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from gylebook.figures.draws import Array

Transform = Literal["none", "log", "logit"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """An uncertain coefficient of the model.

    `level` is the median and `scatter` the standard deviation from brew to brew, both in `unit`.
    `transform` says where the draws are normal: as they are ("none"), in their logarithm (a positive
    figure) or in their log-odds (a share).  `source` is a key of `gylebook.figures.sources`.
    """

    name: str
    unit: str
    level: float
    scatter: float
    transform: Transform = "none"
    source: str

    def __post_init__(self) -> None:
        if self.scatter < 0:
            raise ValueError(f"{self.name}: a scatter of {self.scatter:g} is below zero")
        if self.transform == "log" and self.level <= 0:
            raise ValueError(f"{self.name}: a level of {self.level:g} has no logarithm")
        if self.transform == "logit" and not 0 < self.level < 1:
            raise ValueError(f"{self.name}: a level of {self.level:g} is not a share between 0 and 1")

    def draw(self, latent: Array) -> Array:
        """Draws of this figure from its column of standard-normal latents. [unit]

        For "log" and "logit" the scatter is carried over at the level by the slope of the transform.
        """
        if self.transform == "none":
            return self.level + self.scatter * latent
        if self.transform == "log":
            return self.level * np.exp((self.scatter / self.level) * latent)
        centre = math.log(self.level / (1.0 - self.level))
        slope = self.scatter / (self.level * (1.0 - self.level))
        return 1.0 / (1.0 + np.exp(-(centre + slope * latent)))

    def slope(self, latent: float) -> float:
        """By how much the figure grows with its latent there. [unit]"""
        if self.transform == "none":
            return self.scatter
        value = float(self.draw(np.array([latent]))[0])
        if self.transform == "log":
            return self.scatter / self.level * value
        return self.scatter / (self.level * (1.0 - self.level)) * value * (1.0 - value)

    def known(self, mean: float, sd: float) -> Figure:
        """The same figure where its latent is known to be normal with this mean and sd."""
        level = float(self.draw(np.array([mean]))[0])
        return replace(self, level=level, scatter=self.slope(mean) * sd)


class FigureDraws(Mapping[str, Array]):
    """Joint draws of a list of figures, each made from its latents when first asked for and then kept.

    Column k of `latents` belongs to figure k.  A forecast that stops at the kettle never pays for yeast.
    """

    __slots__ = ("_columns", "_drawn", "_latents")

    def __init__(self, figures: Sequence[Figure], latents: Array) -> None:
        if latents.ndim != 2 or latents.shape[1] != len(figures):
            raise ValueError(f"{len(figures)} figures need as many columns of latents, not {latents.shape}")
        self._columns = {figure.name: (k, figure) for k, figure in enumerate(figures)}
        if len(self._columns) != len(figures):
            raise ValueError("two figures have the same name")
        self._latents = latents
        self._drawn: dict[str, Array] = {}

    def __getitem__(self, name: str) -> Array:
        drawn = self._drawn.get(name)
        if drawn is None:
            column, figure = self._columns[name]
            drawn = self._drawn[name] = figure.draw(self._latents[:, column])
        return drawn

    def __iter__(self) -> Iterator[str]:
        return iter(self._columns)

    def __len__(self) -> int:
        return len(self._columns)
