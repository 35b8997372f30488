"""Multiply a small matrix with many columns, on one core.

In:  a matrix of few rows and columns, and one that has as many columns as there are draws.
Out: their product, the same bits however many cores there are.

Idea: a library for linear algebra hands a large product to all cores; on a machine that is busy with other
things one of them comes late and the rest wait, up to a hundred times as long as the arithmetic takes.  A
block that fits one core's cache is below the size at which it does so, and is fast by itself.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array

BLOCK = 200_000  # multiplications: OpenBLAS keeps up to 2**18 of them on one core, others more


def product(small: Array, wide: Array) -> Array:
    """`small @ wide`."""
    draws = wide.shape[1]
    out = np.empty((small.shape[0], draws))
    width = max(1, BLOCK // max(1, small.size))
    for first in range(0, draws, width):
        some = slice(first, first + width)
        np.matmul(small, wide[:, some], out=out[:, some])
    return out
