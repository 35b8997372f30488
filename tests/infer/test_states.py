"""Levels in other circumstances tell of each other as far as they are said to, and never too much."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.infer.levels import NO_SCATTER
from gylebook.infer.states import Met, States, Ties

TIES = {
    "boil": Ties(share=0.7, near=0.6, far=0.4, turns=True),
    "bias": Ties(share=1.0, near=0.0, far=0.0, turns=False),
}


def correlation(one: Met, other: Met) -> float:
    """How far the levels in two circumstances go together."""
    states = States(TIES, [one, other])
    made_of = states.made_of([one, other])
    covariance = made_of @ states.house().start @ made_of.T
    return float(covariance[0, 1] / np.sqrt(covariance[0, 0] * covariance[1, 1]))


def test_other_gear_and_another_kind_of_work_tell_less_and_less():
    here = Met(family="boil", far="open", near="small")

    assert correlation(here, here) == pytest.approx(1.0)
    assert correlation(here, Met(family="boil", far="open", near="large")) == pytest.approx(0.6)
    assert correlation(here, Met(family="boil", far="lid", near="small")) == pytest.approx(0.4)
    assert correlation(here, Met(family="bias", far="", near="")) == 0.0


@pytest.mark.parametrize("angle", [-0.9, 0.0, 0.2, 0.9])
def test_whatever_the_size_a_level_has_the_published_spread_of_houses(angle):
    states = States(TIES, [Met(family="boil", far="", near="", angle=angle)])
    (made_of,) = states.made_of([Met(family="boil", far="", near="", angle=angle)])

    assert made_of @ states.house().start @ made_of == pytest.approx(0.7)


def test_sizes_further_apart_tell_less_of_each_other():
    small, middle, large = (Met(family="boil", far="", near="", angle=a) for a in (-0.3, 0.0, 0.3))

    assert correlation(small, middle) == pytest.approx(np.cos(0.3))
    assert correlation(small, large) == pytest.approx(np.cos(0.6))


def test_level_and_scatter_share_out_the_published_variance():
    states = States(TIES, [Met(family="boil", far="", near=""), Met(family="bias", far="", near="")])

    before = states.house()

    assert states.scattering == ["boil"]
    assert list(states.family([Met(family="bias", far="", near="")])) == [NO_SCATTER]
    mean_square = np.exp(2.0 * before.middle[0] + 2.0 * before.spread[0] ** 2)  # of a log-normal
    assert mean_square == pytest.approx(1.0 - 0.7)


def test_no_ties_of_many_circumstances_contradict_each_other():
    places = [
        Met(family="boil", far=far, near=near, angle=a)
        for far in ("open", "lid")
        for near in ("small", "large", "other")
        for a in (0.0, 0.5)
    ]

    states = States(TIES, places)

    assert np.linalg.eigvalsh(states.house().start).min() > 0.0
