"""Hold the posterior of seven days to two samplers that share no line with ours.

numpyro's NUTS (Phan, Pradhan, Jankowiak 2019) follows gradients, emcee's DEMove (Foreman-Mackey et al. 2013,
PASP 125, 306) none.  `python tests/docs_inference.py` writes what came out into the manual.
"""

from __future__ import annotations

from importlib.util import find_spec

import pytest

from docs_inference import DAYS, PAGE, compared


@pytest.mark.long
@pytest.mark.parametrize("day", list(DAYS))
def test_means_agree_within_a_tenth_of_an_sd_and_spreads_within_a_tenth(day):
    if find_spec("numpyro") is None:
        pytest.skip("numpyro is missing: the posterior was not held to NUTS; make test-long installs it")
    found = compared(day)

    assert min(found.nuts_worth, found.emcee_worth) > 1000
    assert found.k < 0.7
    assert max(found.nuts.mean, found.emcee.mean) < 0.1
    assert max(found.nuts.width, found.emcee.width) < 0.1
    assert max(found.nuts.sd, found.emcee.sd) < 0.1


def test_the_manual_tells_of_every_day_that_is_compared():
    for day in DAYS:
        assert f"| {day} |" in PAGE.read_text()
