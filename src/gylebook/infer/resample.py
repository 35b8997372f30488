"""Turn weighted draws into equally likely ones.

In:  weights that sum to one, and a random generator.
Out: for each row of the result, which draw stands there.

Idea: systematic resampling has the least noise of its kind (a draw of weight w appears floor(S w) or one
more times), and a draw that survives keeps its own row, so that rows before and after still belong
together.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gylebook.figures.draws import Array


def resampled_rows(weights: Array, rng: np.random.Generator) -> NDArray[np.intp]:
    """Index of the draw that stands in each row; copies fill the rows of those that fell out."""
    draws = weights.size
    ladder = np.cumsum(weights)
    ladder *= draws / ladder[-1]
    # Of the points u, u + 1, u + 2 ... each draw gets those between the rung below it and its own.
    reached = np.ceil(ladder - rng.random()).astype(np.intp)
    copies = np.diff(reached, prepend=0)
    rows = np.arange(draws)
    rows[copies == 0] = np.repeat(rows, np.maximum(copies - 1, 0))
    return rows
