"""What is said where no grain and liquor meet the aims."""

from __future__ import annotations

from dataclasses import replace

import pytest

from example_gyles import brewery, grain, hop, latents, plan
from gylebook.brewery.plan import Aims, Liquor
from gylebook.errors import NotConverged
from gylebook.gyle.forecast import Model
from gylebook.tasks.solving import solve_or_explain

SHED = brewery()


def wanted(aims, **other):
    return plan(aims=aims, grist=(grain(mass_kg=None, share=1.0),), hops=(hop(),), **other)


def said(gyle):
    with pytest.raises(NotConverged) as stuck:
        solve_or_explain(gyle, SHED, latents(Model(gyle, SHED), 400))
    return str(stuck.value)


def test_too_strong_a_wort_is_told_how_strong_it_can_be():
    text = said(wanted(Aims(volume_l=30.0, plato=34.0), liquor=Liquor()))
    assert text.startswith("No grain and liquor were found for 30 L, 34.0 °P (SG 1.149) with this process")
    assert "The strongest wort at this volume is about " in text
    assert "add extract or sugar" in text


def test_too_little_wort_is_told_how_little_it_can_be():
    text = said(wanted(Aims(volume_l=3.0, plato=12.0), liquor=Liquor(kettle_l=10.0)))
    assert "The least of this wort is about " in text
    assert "on smaller gear" in text


def test_where_nothing_is_near_the_amounts_are_asked_for():
    gyle = wanted(Aims(volume_l=30.0, plato=34.0), liquor=Liquor())
    weighed = replace(gyle, grist=(grain(mass_kg=5.0),), aims=Aims(plato=34.5))
    assert said(weighed).endswith("Give some amounts yourself, and see what they make.")
