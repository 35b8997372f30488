"""What is said of readings says how far to believe it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gylebook.faces import telling
from gylebook.tasks.slips import SlipKind
from gylebook.tasks.trust import ReadingView, TrustView
from gylebook.tasks.views import OddsView, WorthView

GOOD = TrustView(
    method="importance",
    pareto_k=0.4,
    trusted_below=0.7,
    effective_draws=2345.6,
    draws=4000,
    converged=True,
    folded=False,
)
LEVEL = ReadingView(
    step="preboil",
    quantity="volume",
    value=10.6,
    beyond="",
    at="",
    instrument="dipstick",
    kind="dipstick",
    from_prior=-40.0,
    from_rest=-83.0,
    expected=40.5,
    odds_slip=1.0,
    slip="gal for L",
    meant=40.2,
)


def test_a_forecast_reached_the_usual_way_says_what_it_is_worth_and_no_more():
    assert telling.trust_sentence(GOOD) == "The forecast given these readings is worth 2,346 of 4,000 draws."


def test_the_slow_way_and_a_search_that_did_not_settle_are_said():
    assert "the slow way" in telling.trust_sentence(replace(GOOD, method="tempered"))
    assert "did not settle" in telling.trust_sentence(replace(GOOD, converged=False))
    assert "did not settle" not in telling.trust_sentence(GOOD)


def test_a_slip_is_told_with_its_distance_what_was_expected_and_what_likely_happened():
    told = telling.verdict(LEVEL)

    assert told == (
        "▲ 83.0 sd from the rest, which says 40.5 L: check it. It is left out of the forecast. "
        "Was it read in gallons? Then it is 40.2 L, which would fit."
    )


def test_a_reading_that_may_be_right_counts_in_part_and_one_that_agrees_is_left_in_peace():
    half = telling.verdict(replace(LEVEL, from_rest=-3.6, odds_slip=0.4, slip="", meant=None))

    assert half == "▲ 3.6 sd from the rest, which says 40.5 L: check it. It counts in 60 in 100 of the draws."
    assert telling.verdict(replace(LEVEL, from_rest=-2.9, odds_slip=0.04)) == "agrees"


@pytest.mark.parametrize("kind", SlipKind.__args__)
def test_every_slip_has_its_words(kind):
    told = telling.slip_sentence(replace(LEVEL, slip=kind, sample_c=65.0))

    assert "40.2 L" in told
    assert "{" not in told


def test_a_bound_is_said_as_one():
    above = replace(LEVEL, beyond="above", value=44.0)

    assert telling.what_was_read(above) == "volume above 44.0 L"
    assert telling.what_was_read(replace(LEVEL, quantity="ph", kind="ph meter", value=5.4)) == "pH 5.40"


def test_the_doubt_that_a_reading_settles_is_said_where_there_is_one():
    view = WorthView(step="lift", quantity="mass", instrument="scale", narrows={"og": 0.2})
    foam = OddsView(name="foam room", place="kettle", odds=0.45, settled=0.94)

    assert telling.settled_sentence(view) == ""
    assert telling.settled_sentence(replace(view, settles=(replace(foam, settled=0.01),))) == ""
    assert telling.settled_sentence(replace(view, settles=(foam,))) == (
        "The mass at lift settles 94 % of the doubt about the foam room (kettle, 45 in 100)."
    )
