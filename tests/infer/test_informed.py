"""Hold conditioning to leave aside only latents on which no reading depends where it matters."""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import standard_normal_latents
from gylebook.infer.condition import condition
from gylebook.infer.likelihood import Observation

DRAWS = 4000
SEEN = [Observation(name="y", value=2.0, error=0.3)]


def test_a_latent_on_which_no_reading_depends_keeps_the_priors_draws_bit_for_bit():
    prior = standard_normal_latents(DRAWS, 4, 1)

    posterior = condition(lambda z: {"y": z[:, 0] + 0.5 * z[:, 2]}, prior, SEEN, seed=2)

    assert posterior.diagnostic.informed.tolist() == [True, False, True, False]
    np.testing.assert_array_equal(posterior.latents[:, [1, 3]], prior[:, [1, 3]])
    np.testing.assert_array_equal(posterior.diagnostic.covariance[1], [0.0, 1.0, 0.0, 0.0])
    np.testing.assert_array_equal(posterior.diagnostic.mode[[1, 3]], 0.0)


def test_what_is_told_does_not_depend_on_how_many_latents_are_left_aside():
    def forecast(z):
        return {"y": z[:, 0] + 0.5 * np.exp(0.3 * z[:, 1])}

    few, many = (condition(forecast, standard_normal_latents(DRAWS, d, 1), SEEN, seed=2) for d in (2, 30))

    np.testing.assert_array_equal(few.latents, many.latents[:, :2])


def test_a_latent_that_is_flat_at_the_priors_centre_is_not_left_aside():
    def forecast(z):
        return {"y": z[:, 0] + np.maximum(np.abs(z[:, 1]) - 0.1, 0.0)}

    told = condition(forecast, standard_normal_latents(DRAWS, 3, 1), SEEN, seed=2).diagnostic

    assert told.informed.tolist() == [True, True, False]


def test_a_latent_that_matters_only_where_the_readings_lead_is_taken_in_after_all():
    # Nothing of it shows until the first latent is beyond 3, where no draw of the prior is tried.
    def forecast(z):
        return {"y": z[:, 0] + np.where(z[:, 0] > 3.0, 0.8 * z[:, 1], 0.0), "x": z[:, 0]}

    seen = [
        Observation(name="y", value=5.0, error=0.1, doubt=0.0),
        Observation(name="x", value=4.0, error=0.1, doubt=0.0),
    ]

    posterior = condition(forecast, standard_normal_latents(DRAWS, 3, 1), seen, seed=2)

    assert posterior.diagnostic.informed.all()
    # All of the posterior lies beyond 3, where the forecast is straight: closed form.
    slopes = np.array([[1.0, 0.8], [1.0, 0.0]])
    mean = slopes.T @ np.linalg.solve(slopes @ slopes.T + 0.01 * np.eye(2), [5.0, 4.0])
    np.testing.assert_allclose(posterior.latents[:, :2].mean(axis=0), mean, atol=0.02)


def test_a_reading_that_depends_on_nothing_leaves_the_prior():
    prior = standard_normal_latents(DRAWS, 2, 1)

    posterior = condition(lambda z: {"y": np.full(len(z), 2.1)}, prior, SEEN, seed=2)

    np.testing.assert_array_equal(posterior.latents, prior)
