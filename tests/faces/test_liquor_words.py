"""What is said of a water report: what it leaves to be guessed is said to be guessed."""

from __future__ import annotations

import pytest

from example_gyles import watered
from gylebook.brewery.water import ReportLine, Water
from gylebook.faces.liquor_words import doubt_sentences
from gylebook.tasks.liquor import report_views

ALKALINITY = ReportLine(what="alkalinity", value=150.0, unit="mg/L CaCO3")
PH = ReportLine(what="ph", value=7.6)


def doubted(*lines: ReportLine) -> list[str]:
    (view,) = report_views(watered(Water(key="tap", name="tap", report=(PH, ALKALINITY, *lines))))
    return doubt_sentences(view)


def test_a_report_without_calcium_is_told_what_rests_on_it():
    (sentence,) = doubted()

    assert "No calcium or hardness is told, so none is taken: salts and mash pH rest on it." in sentence


def test_a_hardness_alone_is_said_to_be_parted_by_custom():
    (sentence,) = doubted(ReportLine(what="hardness", value=205.0, unit="mg/L CaCO3"))

    assert "Calcium and magnesium are parted from the hardness at 4 to 1" in sentence


@pytest.mark.parametrize(("told", "inferred"), [("calcium", "Magnesium"), ("magnesium", "Calcium")])
def test_what_follows_by_difference_is_said_to_be_inferred(told, inferred):
    lines = [
        ReportLine(what="hardness", value=4.0, unit="mEq/L"),
        ReportLine(what=told, value=2.0, unit="mEq/L"),
    ]

    assert doubted(*lines) == [f"{inferred} is inferred from hardness, not measured."]


def test_a_whole_report_leaves_nothing_to_be_guessed():
    assert doubted(ReportLine(what="calcium", value=60.0, unit="mg/L")) == []
