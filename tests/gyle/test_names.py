"""Keep the names of a forecast: what is read, solved, remembered and shown goes by them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from example_gyles import brewed, brewery, latents, plan, portion, sugar
from gylebook.figures.draws import summarise
from gylebook.gyle.forecast import Model
from gylebook.gyle.names import Named, named
from gyles_at_random import plans

SHED = brewery()
OF_THE_WORT = {
    "kettle.preboil.volume_l",
    "kettle.preboil.gravity",
    "kettle.end.volume_l",
    "kettle.end.gravity",
    "fermenters.volume_l",
    "og",
}
OF_THE_MASH = {
    "mash.volume_l",
    "mash.strike_temperature_c",
    "efficiency.conversion",
    "efficiency.lauter",
    "efficiency.kettle",
    "efficiency.fermenter",
}
OF_A_PORTION = ("volume_l", "og", "fg", "abv", "ibu", "packaged_l")


def numbers(kind: str = "dunk rinse", **other: object) -> Named:
    return named(brewed(plan(kind, **other), SHED)[0])


@pytest.mark.parametrize("kind", ["full volume", "dunk rinse", "poured rinse", "fly rinse"])
def test_every_promised_name_is_there(kind):
    there = set(numbers(kind))

    assert there >= OF_THE_WORT | OF_THE_MASH
    assert there >= {f"portion.{key}.{what}" for key in ("one", "two") for what in OF_A_PORTION}


def test_extract_has_no_mash_to_name():
    there = set(numbers("extract only"))

    assert there >= OF_THE_WORT
    assert not there & OF_THE_MASH


@settings(deadline=None, max_examples=60)
@given(plans(), st.integers(0, 100))
def test_every_number_is_finite_and_in_its_place(a_plan, seed):
    model = Model(a_plan, SHED)

    forecast = model.forecast(latents(model, 60, seed))

    for name, draws in forecast.items():
        values = np.asarray(draws)
        assert np.all(np.isfinite(values)), name
        if name.startswith("efficiency."):
            assert np.all((values >= 0.0) & (values <= 1.0 + 1e-12)), name
        if name.endswith(("gravity", "og", "fg")):
            assert np.all((values > 0.98) & (values < 1.2)), name
        if name.endswith(("_l", "ibu", "_kg")):
            assert np.all(values >= -1e-9), name


def test_efficiencies_multiply_along_the_way():
    got = numbers()

    np.testing.assert_allclose(
        got["efficiency.conversion"] * got["efficiency.lauter"], got["efficiency.kettle"], rtol=1e-12
    )
    assert np.all(got["efficiency.fermenter"] < got["efficiency.kettle"])


def test_sugar_counts_for_the_gravity_and_not_for_the_efficiency():
    plain, sweet = numbers(), numbers(additions=(sugar(),))

    assert np.all(np.asarray(sweet["og"]) > np.asarray(plain["og"]))
    # The sugar also swells the wort by 0.3 L in 30, so that what stays behind holds 1 % less of the grist.
    saved = np.asarray(sweet["efficiency.fermenter"]) / np.asarray(plain["efficiency.fermenter"]) - 1.0
    assert np.all(saved > 0.0)
    assert np.median(saved) == pytest.approx(0.001, abs=0.0005)
    np.testing.assert_allclose(sweet["efficiency.kettle"], plain["efficiency.kettle"], rtol=1e-12)


def test_the_gravity_of_all_fermenters_is_that_of_their_mixture():
    got = numbers(portions=(portion("one", top_up_l=5.0), portion("two")))
    lowest, highest = (np.asarray(got[f"portion.{key}.og"]) for key in ("one", "two"))

    assert np.all((lowest < got["og"]) & (got["og"] < highest))


def test_a_level_is_hot_and_a_volume_is_cold():
    got = numbers()

    # Wort at the boil fills 4.16 % more than at 20 °C; common knowledge of the trade is 4 %.
    assert np.median(got["kettle.preboil.level_l"] / got["kettle.preboil.volume_l"]) == pytest.approx(
        1.0416, abs=0.0005
    )


def test_every_number_sums_up_to_five_figures():
    for draws in numbers().values():
        told = summarise(draws)
        assert told.low <= told.median <= told.high
