"""Blind answers against luck: the printed critical numbers, and what follows from so few answers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from gylebook.process import guessing
from published_tables import published_rows

THIRD = 1.0 / 3.0
CHANCE = {"triangle": THIRD, "paired": 0.5}
SOURCE = {"triangle": "fao-v7180e", "paired": "iso-5495"}


@pytest.mark.parametrize("way", ["triangle", "paired"])
def test_as_many_must_be_right_as_the_standards_print(way, check):
    for row in published_rows("glass_critical_numbers"):
        if row["way"] != way:
            continue
        answers, alpha = int(row["answers"]), float(row["alpha"])
        found = guessing.fewest_right(answers, CHANCE[way], alpha)
        if not row["published"]:
            assert found is None  # the standard prints a dash: not even all right would do
            continue
        at = f"{answers} answers, {alpha:g}"
        of = {"at": at, "source": SOURCE[way], "unit": "answers"}
        check(
            f"right answers that are too many for luck, {way}", found, int(row["published"]), within=0, **of
        )


@pytest.mark.parametrize(("answers", "right", "low", "high"), [(30, 21, 0.125, None), (44, 32, 0.19, 0.71)])
def test_the_worked_examples_of_the_pair_agree_with_the_exact_interval(answers, right, low, high, check):
    # The amendment uses a normal curve without a correction; the exact interval reaches up to 0.06 farther,
    # 0.033 of which is the half answer by which a count of 30 is coarse.
    certainty = 0.90 if high is None else 0.95
    found = [2.0 * end - 1.0 for end in guessing.share_interval(right, answers, certainty)]
    of = {"at": f"{right} of {answers}", "source": "iso-5495"}

    check("share that truly tells a pair, at least", found[0], low, within=0.06, **of)
    if high is not None:
        check("share that truly tells a pair, at most", found[1], high, within=0.06, **of)


@pytest.mark.parametrize(
    ("right", "answers", "middle", "low", "high"),
    [
        (4, 6, 0.46, 0.09, 0.81),
        (5, 8, 0.42, 0.09, 0.75),
        (7, 12, 0.37, 0.08, 0.67),
        (8, 12, 0.47, 0.16, 0.75),
    ],
)
def test_few_tasters_leave_a_wide_range_of_those_who_can_tell(right, answers, middle, low, high, check):
    found = guessing.able_interval(right, answers, THIRD)

    # Printed to 0.01.
    of = {"at": f"{right} of {answers}", "source": "flat-prior", "kind": "slip"}
    check("share of tasters who tell, low, middle, high", found, [low, middle, high], within=0.0051, **of)


@given(st.integers(1, 60), st.sampled_from([THIRD, 0.5]), st.data())
def test_luck_is_the_exact_tail(answers, chance, data):
    right = data.draw(st.integers(0, answers))

    exact = binomtest(right, answers, chance, alternative="greater").pvalue

    assert guessing.luck(right, answers, chance) == pytest.approx(exact, rel=1e-9)
    if chance == 0.5:
        either = binomtest(right, answers, 0.5).pvalue
        assert guessing.luck_either_way(right, answers) == pytest.approx(either, rel=1e-9)


@given(st.integers(1, 60), st.sampled_from([THIRD, 0.5]), st.sampled_from([0.2, 0.05, 0.01]))
def test_one_answer_fewer_than_needed_is_within_luck(answers, chance, alpha):
    needed = guessing.fewest_right(answers, chance, alpha)
    if needed is None:
        assert guessing.luck(answers, answers, chance) > alpha
        return
    assert guessing.luck(needed, answers, chance) <= alpha < guessing.luck(needed - 1, answers, chance)


@given(st.integers(1, 40), st.data())
def test_the_interval_is_the_one_of_clopper_and_pearson(answers, data):
    right = data.draw(st.integers(0, answers))

    exact = binomtest(right, answers).proportion_ci(0.90, method="exact")

    assert guessing.share_interval(right, answers) == pytest.approx((exact.low, exact.high), abs=1e-9)


def test_a_slip_of_clubs_thirteen_of_twenty_four(check):
    of = {"source": "flat-prior", "kind": "slip", "at": "24 answers"}
    check("luck, 12 right", guessing.luck(12, 24, THIRD), 0.068, within=0.0005, **of)
    check("luck, 13 right", guessing.luck(13, 24, THIRD), 0.028, within=0.0005, **of)


def test_answers_of_one_taster_are_alike_only_if_tasters_differ():
    all_or_nothing = guessing.likeness(np.array([4, 4, 0, 0, 4, 0]), np.full(6, 4))
    even = guessing.likeness(np.array([2, 2, 2, 2, 2, 2]), np.full(6, 4))

    assert all_or_nothing == pytest.approx(1.0)
    assert even == 0.0
    assert guessing.likeness(np.array([1, 0, 1]), np.ones(3)) == 0.0  # nobody tasted twice


def test_likeness_finds_what_tasters_were_drawn_with():
    rng = np.random.default_rng(7)
    alike, share = 0.3, 0.6
    size = 1.0 / alike - 1.0
    able = rng.beta(share * size, (1.0 - share) * size, 4000)
    right = rng.binomial(4, able)

    # The estimate from 4,000 tasters scatters by about 0.01.
    assert guessing.likeness(right, np.full(4000, 4)) == pytest.approx(alike, abs=0.03)


@pytest.mark.parametrize(("right", "answers"), [(5, 4), (-1, 4)])
def test_more_right_than_asked_is_a_slip_of_the_program(right, answers):
    with pytest.raises(ValueError, match="cannot be"):
        guessing.luck(right, answers, THIRD)
