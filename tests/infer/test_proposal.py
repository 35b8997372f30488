"""Hold the weights of proposed draws to densities computed by a general-purpose library."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.stats import multivariate_t

from gylebook.figures.draws import standard_normal_latents
from gylebook.infer.laplace import find_mode, neighbours, point_among
from gylebook.infer.likelihood import Observation, readings_of
from gylebook.infer.proposal import FREEDOM, informed_directions, laplace_proposal

SEEN = [Observation(name="a", value=3.0, error=0.2), Observation(name="b", value=-0.4, error=0.5)]


def curved(z):
    return {"a": np.exp(0.3 * z[:, 0] + 0.2 * z[:, 1] * z[:, 3]) + z[:, 1], "b": z[:, 2] + 0.1 * z[:, 0] ** 2}


READINGS = readings_of(curved, SEEN)


def around_the_mode():
    """The proposal around the most probable latents."""
    centre = np.zeros(5)
    mode = find_mode(READINGS, point_among(READINGS, centre, READINGS.gaps(neighbours(centre))))
    return laplace_proposal(mode, informed_directions(mode.felt))


def nearer(proposal, base):
    """The base one step nearer to its ridge."""
    latents = np.empty_like(base.prior)
    proposal.on_ridge(base, latents)
    return proposal.stepped(base, READINGS.gaps(latents))


def drawn(proposal, base, seed):
    """Proposed latents, and what is told of them."""
    latents = np.empty_like(base.prior)
    return latents, proposal.propose(base, np.random.default_rng(seed), latents)


@pytest.fixture(params=["as found", "refitted"])
def proposed(request):
    proposal = around_the_mode()
    base = nearer(proposal, proposal.base(standard_normal_latents(500, 5, 1).T))
    if request.param == "refitted":
        _, first = drawn(proposal, base, 1)
        proposal = proposal.refitted(first.relative, np.full(500, 1 / 500))
    return proposal, base, *drawn(proposal, base, 2)


def test_the_log_ratio_is_that_of_prior_to_proposal(proposed):
    proposal, base, latents, draws = proposed
    at_ridge = proposal.centre[:, 0] + base.ridge.T
    moved = (proposal.directions.T @ latents).T - at_ridge

    # Across the informed directions a draw keeps its prior value: those factors are alike and cancel.
    log_prior = -0.5 * np.square(proposal.directions.T @ latents).sum(axis=0)
    shape = proposal.root @ proposal.root.T
    log_proposal = multivariate_t(loc=np.zeros(2), shape=shape, df=FREEDOM).logpdf(moved)

    near = np.isfinite(draws.log_ratio)
    assert near.mean() > 0.99
    constant = (draws.log_ratio - (log_prior - log_proposal))[near]
    np.testing.assert_allclose(constant, constant[0], atol=1e-9)


def test_a_draw_leaves_its_prior_place_in_the_informed_directions_only(proposed):
    proposal, base, latents, _ = proposed
    shift = latents - base.prior

    np.testing.assert_allclose(shift, proposal.directions @ (proposal.directions.T @ shift), atol=1e-12)


def test_the_ridge_does_not_depend_on_where_a_draw_starts_in_the_informed_directions():
    # Else the density of a proposed draw would not be that of the t around it.
    proposal = around_the_mode()
    prior = standard_normal_latents(500, 5, 1).T
    elsewhere = prior + proposal.directions @ np.random.default_rng(3).standard_normal((2, 500))

    here, there = (nearer(proposal, proposal.base(z)) for z in (prior, elsewhere))

    assert np.abs(here.ridge).max() > 0.05
    np.testing.assert_allclose(here.ridge, there.ridge, atol=1e-9)


def test_a_second_step_comes_nearer_to_the_ridge():
    proposal = around_the_mode()
    bases = [proposal.base(standard_normal_latents(500, 5, 1).T)]
    for _ in range(3):
        bases.append(nearer(proposal, bases[-1]))

    steps = [np.abs(b.ridge - a.ridge).mean() for a, b in pairwise(bases)]

    assert steps[2] < 0.5 * steps[1] < 0.25 * steps[0]


def test_a_refit_moves_the_proposal_to_the_weighted_draws():
    proposal = around_the_mode()
    rng = np.random.default_rng(5)
    relative = np.array([[1.0], [-2.0]]) + np.array([[0.5, 0.0], [0.2, 0.1]]) @ rng.standard_normal(
        (2, 20_000)
    )

    refitted = proposal.refitted(relative, np.full(20_000, 1 / 20_000))

    # 20,000 draws outweigh what was proposed, which counts as 2.
    np.testing.assert_allclose(refitted.centre[:, 0], [1.0, -2.0], atol=0.02)
    np.testing.assert_allclose(refitted.root @ refitted.root.T, [[0.25, 0.1], [0.1, 0.05]], atol=0.01)
