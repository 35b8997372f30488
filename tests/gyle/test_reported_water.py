"""A water report that cannot be is refused by the water and the line it stands in."""

from __future__ import annotations

import pytest

from gylebook.brewery.water import ReportLine, Water
from gylebook.errors import Refused
from gylebook.gyle.liquor import report_of

ALKALINITY = ReportLine(what="alkalinity", value=100.0, unit="mg/L CaCO3")


def well(*lines: ReportLine) -> Water:
    return Water(key="well", name="Well", report=lines)


def test_each_fault_of_a_report_names_its_water_and_its_line():
    lines = (
        ReportLine(what="ph", value=3.5),
        ReportLine(what="calcium", value=40.0, unit="mg/L"),
        ReportLine(what="calcium hardness", value=10.0, unit="°dH"),
    )

    with pytest.raises(Refused, match=r"waters\.well\.report\.") as refused:
        report_of(well(ALKALINITY, *lines))

    places = {problem.where for problem in refused.value.problems}
    assert places == {"waters.well.report.ph", "waters.well.report.calcium_hardness"}
    assert "178.5 mg/L as CaCO3 beside calcium of 99.89" in str(refused.value)


def test_a_report_that_can_be_is_read_as_it_stands():
    assert report_of(well(ALKALINITY)).alkalinity == pytest.approx(2.0 * 100.0 / 100.086)
