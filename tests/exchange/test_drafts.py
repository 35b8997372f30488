"""Change fields of a file through a form, and leave the rest of its text alone."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from gylebook.errors import Refused
from gylebook.exchange.drafts import fields_of, path_in, with_fields
from gylebook.exchange.plan_file import read_plan

PLAN = (Path(__file__).parents[2] / "examples" / "amber-three-ways" / "plan.toml").read_text(encoding="utf-8")


def test_every_field_has_its_path():
    fields = fields_of(PLAN, where="plan")

    assert fields["aims.fermenters"] == "34 L"
    assert fields["grist.1.grain"] == "Munich malt, light"
    assert fields["portions.keg.yeast.packs"] == "1"
    assert fields["process.stirred"] is True
    assert fields["liquor.salts"] == ["gypsum", "calcium chloride"]


def test_sending_every_field_back_changes_no_letter():
    assert with_fields(PLAN, dict(fields_of(PLAN, where="plan")), where="plan") == PLAN


def test_a_changed_field_changes_its_line_alone_and_comments_stay():
    changed = with_fields(PLAN, {"aims.fermenters": "20 L"}, where="plan")

    assert changed == PLAN.replace('fermenters = "34 L"', 'fermenters = "20 L"')
    assert read_plan(changed, where="plan").aims.volume_l == 20.0


def test_a_new_entry_is_appended_and_one_taken_out_is_gone():
    more = with_fields(PLAN, {"grist.3.grain": "Pilsner malt", "grist.3.mass": "1 kg"}, where="plan")
    less = with_fields(more, {"grist.3": None, "grist.0": None}, where="plan")

    assert [line["grain"] for line in tomllib.loads(more)["grist"]][-1] == "Pilsner malt"
    assert [line["grain"] for line in tomllib.loads(less)["grist"]] == [
        "Munich malt, light",
        "caramel malt, medium",
    ]


def test_a_table_that_is_not_there_is_made_and_goes_when_it_is_empty():
    with_stand = with_fields(PLAN, {"stand.temperature": "80 °C", "stand.time": "20 min"}, where="plan")
    without = with_fields(with_stand, {"stand.temperature": None, "stand.time": None}, where="plan")

    assert read_plan(with_stand, where="plan").stand is not None
    assert "stand" not in tomllib.loads(without)


def test_two_lines_taken_out_at_once_are_the_two_that_were_named():
    less = with_fields(PLAN, {"grist.0": None, "grist.1": None}, where="plan")

    assert [line["grain"] for line in tomllib.loads(less)["grist"]] == ["caramel malt, medium"]


@pytest.mark.parametrize(
    "path", ["", "a..b", "x" * 61, "name.inner", "grist.9.grain", "grist.x.grain", "a.b.c.d.e.f.g"]
)
def test_a_path_that_leads_nowhere_is_refused(path):
    with pytest.raises(Refused):
        with_fields(PLAN, {path: "1"}, where="plan")


def test_a_text_that_is_not_toml_is_refused():
    with pytest.raises(Refused, match="not TOML"):
        with_fields("name = ", {"name": "x"}, where="plan")


def test_a_problem_names_the_field_it_is_about():
    with pytest.raises(Refused) as refused:
        read_plan(with_fields(PLAN, {"grist.1.share": "lots"}, where="plan"), where="plan")

    assert [path_in(problem.where) for problem in refused.value.problems] == ["grist.1.share"]
