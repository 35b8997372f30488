"""A plan written out is read back as the same plan."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from exchange.plans_at_random import plans
from gylebook.exchange.plan_file import read_plan, write_plan

ROOT = Path(__file__).parents[2]
FILES = [ROOT / "examples/amber-three-ways/plan.toml", ROOT / "tests/practice/double-mash/plan.toml"]


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(plans())
def test_a_plan_as_a_solver_left_it_is_read_back_to_the_last_bit(plan):
    assert read_plan(write_plan(plan), where="written") == plan


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.parent.name)
def test_a_plan_from_a_file_is_read_back(file):
    plan = read_plan(file.read_bytes(), where=file.name)

    assert read_plan(write_plan(plan), where="written") == plan


def test_a_version_does_not_change_when_the_tables_that_ship_do():
    plan = read_plan(FILES[0].read_bytes(), where="plan.toml")
    vienna = replace(plan.grist[0], extract_dry=0.7925, holds_more_l_per_kg=0.1)
    yeast = replace(plan.portions[0].yeast, attenuation=0.731)
    changed = replace(
        plan,
        grist=(vienna, *plan.grist[1:]),
        portions=(replace(plan.portions[0], yeast=yeast), *plan.portions[1:]),
    )

    assert read_plan(write_plan(changed), where="written") == changed


def test_two_additions_of_one_hop_keep_their_own_names_when_one_is_taken_away():
    plan = read_plan(FILES[0].read_bytes(), where="plan.toml")
    twice = replace(plan, hops=(replace(plan.hops[1], key="saaz"), replace(plan.hops[1], key="saaz-2")))

    left = replace(twice, hops=twice.hops[1:])

    assert "key" not in write_plan(twice)
    assert read_plan(write_plan(left), where="written").hops[0].key == "saaz-2"


def test_amounts_are_written_in_the_units_of_the_scale():
    written = write_plan(read_plan(FILES[1].read_bytes(), where="plan.toml"))

    assert 'mass = "57 g"' in written
    assert 'mass = "7.5 kg"' in written
    assert 'share = "50 %"' in written
    assert 'primary = "5.5 d"' in written
