"""Readings made in a notebook are held to what instruments show and to what the forecast can explain."""

from __future__ import annotations

from dataclasses import replace

import pytest

from command_line import EXAMPLE
from gylebook.brewery.instruments import Reading
from gylebook.errors import NotConverged, Refused
from gylebook.tasks import notebook
from gylebook.tasks.files import load_brewery, load_plan
from gylebook.tasks.notebook import condition, forecast
from gylebook.tasks.outlook import look_again


@pytest.fixture(scope="module")
def outlook():
    return forecast(load_plan(EXAMPLE / "plan.toml"), load_brewery(EXAMPLE / "brewery.toml"), draws=400)


@pytest.mark.parametrize(
    ("quantity", "value", "told"),
    [
        ("volume", -1.0, "reading 1, volume at preboil: -1 L; must be from 0 to 2000 L"),
        ("mass", -0.5, "must be from 0 to 1000 kg"),
        ("ph", 15.0, "reading 1, pH at preboil: 15 pH; must be from 4 to 7.5 pH"),
        ("gravity", 80.0, "must be from -6 to 35 °P"),
        ("temperature", float("nan"), "must be from -5 to 110 °C"),
    ],
)
def test_what_no_instrument_shows_is_refused(outlook, quantity, value, told):
    slip = Reading(step="preboil", quantity=quantity, value=value, instrument="dipstick")
    with pytest.raises(Refused) as refused:
        condition(outlook, [slip])
    assert told in str(refused.value)


def test_an_unknown_side_of_a_bound_is_refused(outlook):
    bound = Reading(step="preboil", quantity="volume", value=40.0, instrument="dipstick", beyond="over")
    with pytest.raises(Refused, match=r"reading 1, beyond: “over”; must be one of above, below"):
        condition(outlook, [bound])


def test_a_level_that_nothing_explains_is_left_out_and_told(outlook):
    right = Reading(step="preboil", quantity="volume", value=40.0, instrument="dipstick")
    slip = Reading(step="preboil", quantity="volume", value=2000.0, instrument="dipstick")

    with_it, without = condition(outlook, [right, slip]), condition(outlook, [right])

    told = with_it.diagnostic.misfits
    assert told[0].slip < 0.05
    assert told[1].slip > 0.99
    assert told[1].from_rest > 100
    after, before = (o.numbers["kettle.preboil.volume_l"] for o in (with_it, without))
    assert after.median == pytest.approx(before.median, abs=0.1 * before.sd)


def test_a_search_that_does_not_settle_is_refused(outlook, monkeypatch):
    def unsettled(*args, **kwargs):
        found = look_again(*args, **kwargs)
        return replace(found, diagnostic=replace(found.diagnostic, converged=False))

    monkeypatch.setattr(notebook, "look_again", unsettled)
    level = Reading(step="preboil", quantity="volume", value=40.0, instrument="dipstick")
    with pytest.raises(NotConverged, match=r"did not settle"):
        condition(outlook, [level])


def test_of_readings_that_no_method_reconciles_the_one_that_fits_worst_is_named(outlook, monkeypatch):
    def stuck(forecast, prior, observations, *, seed):
        raise NotConverged("The draws do not mix.", worst=observations[1].name)

    monkeypatch.setattr("gylebook.tasks.outlook.condition", stuck)
    level = Reading(step="preboil", quantity="volume", value=40.0, instrument="dipstick")
    slip = Reading(step="preboil", quantity="volume", value=2000.0, instrument="dipstick")
    with pytest.raises(NotConverged, match=r"The 2 readings .*The volume at preboil, 2000\.0 L, fits worst"):
        condition(outlook, [level, slip])
