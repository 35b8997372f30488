"""Say what a reading not yet taken would be worth.

In:  joint draws of something one cares about and of what an instrument would show, and the reading's error.
Out: the share of its spread that the reading would take away.

Idea: linear regression on the draws at hand; for near-normal draws that is what conditioning would do, at
the price of one covariance.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array


def spread_removed(wanted: Array, shown: Array, error: float) -> float:
    r"""Share of the standard deviation of `wanted` that a reading would take away. [0..1]

    .. math:: 1 - \sqrt{1 - \frac{c^2}{v_w (v_s + \sigma^2)}}

    with :math:`c` the covariance of the two, :math:`v` their variances and :math:`\sigma` the error of one
    reading; nothing where either does not vary.
    """
    variance = float(np.var(wanted))
    noisy = float(np.var(shown)) + error**2
    if variance <= 0.0 or noisy <= 0.0:
        return 0.0
    covariance = float(np.mean((wanted - wanted.mean()) * (shown - shown.mean())))
    return float(1.0 - np.sqrt(max(1.0 - covariance**2 / (variance * noisy), 0.0)))
