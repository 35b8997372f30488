"""Send a plan's form back as a browser would, and lose nothing of the file by it."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.datastructures import FormData

from gylebook.errors import Refused
from gylebook.faces.web.planning.examples import PARTNERS, QUANTITY, as_read
from gylebook.faces.web.planning.fields import SECTIONS, asked_at
from gylebook.faces.web.planning.form import Filled, parts_of
from gylebook.faces.web.planning.sent import draft_of, draft_sent, with_row, without_row
from gylebook.faces.words import METRIC, US
from gylebook.figures.units import read_quantity
from gylebook.tasks.drafts import choices_of, draft_with, look_at_draft
from gylebook.tasks.solved import solved_text

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
PLAN = (EXAMPLE / "plan.toml").read_text(encoding="utf-8")
BREWERY = (EXAMPLE / "brewery.toml").read_text(encoding="utf-8")
CHOICES = choices_of(BREWERY)
RARE = """
[[grain_teas]]
grain = "chocolate malt"
at = "keg"
mass = "0.2 kg"
water = "1 L"

[liquor.rinse_ions]
calcium = { aim = "60 mg/L", least = "40 mg/L" }
"""


def sent_back(text: str, **changes: str) -> FormData:
    """What a browser sends of the form drawn from a text, some fields changed; line ends as it sends them."""
    filled = Filled(
        fields=draft_of(text, 1, "").fields, choices=CHOICES, problems={}, solved={}, units=METRIC
    )
    pairs = [("base", text.replace("\n", "\r\n")), ("text", text.replace("\n", "\r\n")), ("version", "1")]
    for part in parts_of(filled):
        for entry in part.entries:
            for group in (*entry.open, *entry.folded):
                for one in group.shown:
                    ticked = [option.value for option in one.options if option.chosen]
                    values = ["", *ticked] if one.asked.many else [one.value]
                    pairs += [(one.name, changes.get(one.path, value)) for value in values]
    return FormData(pairs)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(PLAN, id="as typed"),
        pytest.param(PLAN + RARE, id="with what the form does not ask"),
        pytest.param(solved_text(look_at_draft(PLAN, BREWERY, draws=400)), id="solved"),
    ],
)
def test_a_form_that_is_sent_back_untouched_changes_no_letter(text):
    assert draft_sent(sent_back(text), CHOICES).text == text


def test_a_changed_field_changes_its_line_alone():
    draft = draft_sent(sent_back(PLAN, **{"aims.fermenters": "20 L"}), CHOICES)

    assert draft.text == PLAN.replace('"34 L"', '"20 L"')


def test_a_field_and_the_file_changed_at_once_come_together():
    form = sent_back(PLAN, **{"aims.fermenters": "20 L"})
    rewritten = PLAN.replace('time = "60 min"\n\n[[hops]]', 'time = "70 min"\n\n[[hops]]')
    pairs = [(key, rewritten if key == "text" else value) for key, value in form.multi_items()]

    draft = draft_sent(FormData(pairs), CHOICES)

    assert draft.text == rewritten.replace('"34 L"', '"20 L"')


def test_what_was_typed_stays_where_the_file_cannot_be_read():
    form = sent_back(PLAN, **{"aims.fermenters": "20 L"})
    pairs = [(key, "name = " if key == "text" else value) for key, value in form.multi_items()]

    draft = draft_sent(FormData(pairs), CHOICES)

    assert draft.text is None
    assert draft.written == "name = "
    assert draft.fields["aims.fermenters"] == "20 L"
    assert ["not TOML" in problem.understood for problem in draft.problems] == [True]


def test_an_emptied_field_is_taken_out_and_one_that_must_be_there_is_asked_for():
    draft = draft_sent(sent_back(PLAN, **{"aims.bitterness": "", "grist.0.grain": ""}), CHOICES)

    assert "aims.bitterness" not in draft.fields
    assert draft.fields["grist.0.grain"] == ""


@pytest.mark.parametrize("table", [section.key for section in SECTIONS if section.rows])
def test_a_row_that_is_added_and_taken_out_again_leaves_the_plan_as_it_was(table):
    before = draft_of(PLAN, 1, "")

    more, path = with_row(before, table, CHOICES)
    less = without_row(more, ".".join(path.split(".")[:2]))

    assert asked_at(path) is not None
    assert path in more.fields
    left = {path: value for path, value in less.fields.items() if value != []}  # a list with nothing in it
    assert left == before.fields


def test_a_table_without_rows_gets_none():
    with pytest.raises(Refused):
        with_row(draft_of(PLAN, 1, ""), "aims", CHOICES)


def test_an_ion_with_its_bounds_is_changed_inside_them():
    bounded = draft_with(PLAN, {"liquor.ions.calcium": None})
    text = bounded.replace(
        "[liquor.ions]\n", '[liquor.ions]\ncalcium = { aim = "80 mg/L", most = "99 mg/L" }\n'
    )

    draft = draft_sent(sent_back(text, **{"liquor.ions.calcium.aim": "90 mg/L"}), CHOICES)

    assert draft.text == text.replace("80 mg/L", "90 mg/L")


def test_every_example_has_a_partner_that_is_the_same_quantity_near_enough():
    asked = [one for section in SECTIONS for one in section.asked]
    named = {
        found
        for one in asked
        for text in (one.hint, one.example, one.usual)
        for found in QUANTITY.findall(text)
    }

    assert named == set(PARTNERS)
    for metric, us in PARTNERS.items():
        here, there = read_quantity(metric), read_quantity(us)
        assert here[1] == there[1]
        assert there[0] == pytest.approx(here[0], rel=0.07)


def test_examples_follow_the_reader():
    assert as_read("19 °C, or what suits the yeast", US) == "66 °F, or what suits the yeast"
    assert as_read("60 mg/L CaCO3", US) == "60 mg/L CaCO3"
    assert as_read("34 L", METRIC) == "34 L"
