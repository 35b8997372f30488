"""A plan goes to another brewery of the book and to another brewer, from a phone, with and without script."""

from __future__ import annotations

import re

import pytest

from command_line import EXAMPLE
from gylebook.record.store import open_book

CANAL = "The cellar by the canal"
AT = "/gyle/Orchard%20amber/adapt"


def canal() -> str:
    """The example's brewery with softer water and a smaller kettle, and no hoist."""
    text = (EXAMPLE / "brewery.toml").read_text(encoding="utf-8")
    for old, new in (
        ("The shed behind the orchard", CANAL),
        ('capacity = "50 L"', 'capacity = "36 L"'),
        ('alkalinity = "165', 'alkalinity = "60'),
        ('calcium = "72', 'calcium = "20'),
        ('chloride = "26', 'chloride = "12'),
        ('sulphate = "11 mg/L S"', 'sulphate = "12 mg/L"'),
        ('hoist = "50 kg"', ""),
    ):
        assert old in text
        text = text.replace(old, new)
    return text


@pytest.fixture
def shelf(empty_book):
    """A book with one plan and two breweries, served."""
    with open_book(empty_book.location) as book:
        book.keep_plan("Orchard amber", (EXAMPLE / "plan.toml").read_text(encoding="utf-8"))
        shed = (EXAMPLE / "brewery.toml").read_text(encoding="utf-8")
        book.keep_brewery("The shed behind the orchard", shed)
        book.keep_brewery(CANAL, canal())
    return empty_book


def plans_of(served) -> dict[str, str]:
    with open_book(served.location) as book:
        return {kept.name: kept.text for kept in book.plans()}


def carry(page, served, litres: str = "") -> None:
    page.goto(served.address + AT)
    page.get_by_label("To be brewed on").select_option(CANAL)
    page.get_by_label("Into all fermenters").fill(litres)
    page.get_by_role("button", name="Solve it there").click()


def test_a_plan_is_solved_for_the_other_brewery_and_kept(shelf, phone, faults):
    carry(phone, shelf, "18 L")

    expect_row = phone.get_by_role("row", name=re.compile("Original gravity"))
    assert "1.052" in expect_row.first.inner_text()
    assert "18.0 L after" in phone.inner_text("main")
    assert faults(phone) == []

    phone.get_by_label("As a plan called").fill("Canal amber")
    phone.get_by_role("button", name="Keep this plan").click()

    assert "Kept as Canal amber" in phone.inner_text("main")
    kept = plans_of(shelf)["Canal amber"]
    assert 'name = "Canal amber"' in kept
    assert 'mass = "' in kept
    assert 'fermenters = "18 L"' in kept


def test_what_the_other_brewery_cannot_do_is_told_first(shelf, phone, faults):
    carry(phone, shelf)

    said = phone.inner_text("main")
    assert "What does not go there" in said
    assert "▲ The brim at the mash in the kettle" in said
    assert said.index("What does not go there") < said.index("To weigh and measure out")
    assert faults(phone) == []
