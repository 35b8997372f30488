"""Declare an uncertain coefficient once, and turn its standard-normal latent into draws.

In:  a name, a unit, a level with its scatter, a transform and the source of both numbers.
Out: draws of the coefficient from a column of latents.

Idea: the model's only uncertain input is a matrix of standard-normal latents; everything a figure is
(positive, a share, free) sits in its transform, so that inference works on one plain Gaussian space.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
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


def draw_figures(figures: Sequence[Figure], latents: Array) -> dict[str, Array]:
    """Joint draws of every figure; column k of `latents` belongs to figure k."""
    if latents.shape[1] != len(figures):
        raise ValueError(f"{len(figures)} figures need as many columns of latents, not {latents.shape[1]}")
    return {figure.name: figure.draw(latents[:, k]) for k, figure in enumerate(figures)}
