"""What would keep a limit, in the fields of the file that a brewer would change."""

from __future__ import annotations

import pytest

from command_line import EXAMPLE, cli
from gylebook.errors import Refused
from gylebook.exchange.drafts import with_fields
from gylebook.exchange.plan_file import read_plan
from gylebook.faces.fix_words import fix_sentence
from gylebook.faces.words import US
from gylebook.tasks.files import load_brewery
from gylebook.tasks.fixes import ways_to_keep
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.run_view import limit_views

TEXT = (EXAMPLE / "plan.toml").read_text(encoding="utf-8").replace('kettle = "5 L"', 'kettle = "0 L"')


@pytest.fixture(scope="module")
def outlook():
    return look_ahead(read_plan(TEXT, where="plan"), load_brewery(EXAMPLE / "brewery.toml"), draws=1600)


@pytest.fixture(scope="module")
def found(outlook):
    return {fix.deed: fix for fix in ways_to_keep(outlook, "foam room")}


@pytest.mark.parametrize("deed", ["hold liquor back", "liquor in the fermenters", "make less"])
def test_its_fields_typed_into_the_file_keep_the_limit(outlook, found, deed):
    changed = with_fields(TEXT, dict(found[deed].fields), where="plan")
    after = look_ahead(read_plan(changed, where="plan"), outlook.brewery, draws=1600)

    (kept,) = [limit for limit in limit_views(after) if limit.name == "foam room"]
    assert kept.odds_kept == found[deed].odds_kept
    assert kept.kept


def test_a_change_of_gear_changes_no_field(found):
    assert found["larger vessel"].fields == {}


def test_it_is_said_in_the_units_that_are_read(found):
    assert "kettle of" in fix_sentence(found["larger vessel"])
    assert " gal" in fix_sentence(found["make less"], US)


def test_an_unknown_limit_is_refused_with_those_that_there_are(outlook):
    with pytest.raises(Refused, match="foam room"):
        ways_to_keep(outlook, "bursting")


def test_the_command_line_tells_them_where_they_are_asked_for(tmp_path):
    plan = tmp_path / "plan.toml"
    plan.write_text(TEXT, encoding="utf-8")
    asked = cli("limits", plan, "-b", EXAMPLE / "brewery.toml", "--draws", "1000", "--fixes")
    answer = cli("limits", plan, "-b", EXAMPLE / "brewery.toml", "--draws", "1000", "--fixes", "--json").json

    assert "of liquor back for the end of the boil: kept" in asked.out
    (foam,) = [limit for limit in answer["limits"] if limit["name"] == "foam room"]
    assert {"hold liquor back", "make less"} <= {fix["deed"] for fix in foam["fixes"]}
