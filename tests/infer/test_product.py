"""Hold products in blocks, and draws picked by weight, to what they are by definition."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.infer.product import product
from gylebook.infer.resample import resampled_rows


@pytest.mark.parametrize("shape", [(7, 39, 4000), (39, 12, 100_001), (600, 700, 3), (3, 0, 50), (0, 3, 50)])
def test_a_product_in_blocks_is_the_product(shape):
    rows, inner, draws = shape
    rng = np.random.default_rng(1)
    small, wide = rng.standard_normal((rows, inner)), rng.standard_normal((inner, draws))

    np.testing.assert_allclose(product(small, wide), small @ wide, atol=1e-10)


def test_a_draw_appears_as_often_as_its_weight_says_and_keeps_its_row():
    weights = np.random.default_rng(2).gamma(0.5, size=1000)
    weights /= weights.sum()

    rows = resampled_rows(weights, np.random.default_rng(3))

    # Systematic resampling: floor(S w) or one more times.  (Kitagawa 1996; the bound holds for every draw.)
    copies = np.bincount(rows, minlength=1000)
    assert copies.sum() == 1000
    assert (np.abs(copies - 1000 * weights) < 1.0 + 1e-9).all()
    stayed = copies > 0
    np.testing.assert_array_equal(rows[stayed], np.flatnonzero(stayed))
