"""Hold an uncertain figure to the level and scatter that it was declared with."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from gylebook.figures.draws import standard_normal_latents
from gylebook.figures.figure import Figure, FigureDraws, Transform

STANDARD = np.array([-1.6448536269514722, 0.0, 1.6448536269514722])  # 5, 50 and 95 % of the normal law


def make_figure(level: float = 4.5, scatter: float = 0.8, transform: Transform = "none") -> Figure:
    return Figure(
        name="boil.rate", unit="L/h", level=level, scatter=scatter, transform=transform, source="derived"
    )


@pytest.mark.parametrize(
    ("level", "scatter", "transform"), [(4.5, 0.8, "none"), (4.5, 0.8, "log"), (0.88, 0.05, "logit")]
)
def test_the_level_of_a_figure_is_the_median_of_its_draws(
    level: float, scatter: float, transform: Transform
) -> None:
    assert make_figure(level, scatter, transform).draw(STANDARD)[1] == pytest.approx(level, rel=1e-14)


@pytest.mark.parametrize(
    ("level", "scatter", "transform"), [(4.5, 0.8, "none"), (4.5, 0.8, "log"), (0.88, 0.05, "logit")]
)
def test_near_its_level_a_figure_moves_by_its_scatter(
    level: float, scatter: float, transform: Transform
) -> None:
    low, high = make_figure(level, scatter, transform).draw(np.array([-1e-5, 1e-5]))

    # 1e-9: the error of a central difference of 1e-5 is of the order of its square.
    assert (high - low) / 2e-5 == pytest.approx(scatter, rel=1e-9)


def test_a_positive_figure_spreads_like_the_lognormal_law() -> None:
    # SciPy's lognormal with shape scatter/level; 1e-12 is float noise of two exponentials.
    expected = stats.lognorm.ppf([0.05, 0.5, 0.95], s=0.8 / 4.5, scale=4.5)

    np.testing.assert_allclose(make_figure(transform="log").draw(STANDARD), expected, rtol=1e-12)


def test_a_share_stays_between_nothing_and_all_however_far_the_draw() -> None:
    conversion = make_figure(0.93, 0.04, "logit").draw(np.linspace(-8, 8, 101))

    assert np.all((conversion > 0) & (conversion < 1))
    assert np.all(np.diff(conversion) > 0)


def test_a_figure_that_is_positive_never_falls_below_nothing() -> None:
    assert np.all(make_figure(0.2, 0.1, "log").draw(np.linspace(-8, 8, 101)) > 0)


def test_a_certain_figure_has_the_same_value_in_every_draw() -> None:
    assert np.all(make_figure(scatter=0.0).draw(STANDARD) == 4.5)


@pytest.mark.parametrize(
    ("level", "scatter", "transform", "complaint"),
    [
        (4.5, -0.1, "none", "a scatter of -0.1 is below zero"),
        (0.0, 0.1, "log", "a level of 0 has no logarithm"),
        (1.0, 0.1, "logit", "a level of 1 is not a share between 0 and 1"),
    ],
)
def test_a_figure_that_cannot_be_is_not_declared(
    level: float, scatter: float, transform: Transform, complaint: str
) -> None:
    with pytest.raises(ValueError, match=f"boil.rate: {complaint}"):
        make_figure(level, scatter, transform)


def test_each_figure_is_drawn_from_its_own_column() -> None:
    latents = standard_normal_latents(100, 2, seed=1)
    rate = make_figure()
    share = Figure(
        name="mash.conversion", unit="1", level=0.9, scatter=0.03, transform="logit", source="derived"
    )

    drawn = FigureDraws([rate, share], latents)

    assert list(drawn) == ["boil.rate", "mash.conversion"]
    assert len(drawn) == 2
    assert np.array_equal(drawn["boil.rate"], rate.draw(latents[:, 0]))
    assert np.array_equal(drawn["mash.conversion"], share.draw(latents[:, 1]))


def test_a_figure_asked_for_twice_is_drawn_once() -> None:
    drawn = FigureDraws([make_figure()], standard_normal_latents(100, 1, seed=1))

    assert drawn["boil.rate"] is drawn["boil.rate"]


def test_a_figure_without_a_column_of_its_own_is_noticed() -> None:
    with pytest.raises(ValueError, match=r"1 figures need as many columns of latents, not \(10, 2\)"):
        FigureDraws([make_figure()], standard_normal_latents(10, 2, seed=1))


def test_two_figures_of_one_name_are_noticed() -> None:
    with pytest.raises(ValueError, match="two figures have the same name"):
        FigureDraws([make_figure(), make_figure()], standard_normal_latents(10, 2, seed=1))


@pytest.mark.parametrize(
    ("level", "scatter", "transform"), [(4.5, 0.8, "none"), (4.5, 0.8, "log"), (0.88, 0.05, "logit")]
)
def test_a_figure_known_better_draws_what_its_latents_would_have(
    level: float, scatter: float, transform: Transform
) -> None:
    figure = make_figure(level, scatter, transform)

    better = figure.known(mean=0.7, sd=0.4)

    np.testing.assert_allclose(better.draw(STANDARD), figure.draw(0.7 + 0.4 * STANDARD), rtol=1e-12)
