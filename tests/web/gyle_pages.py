"""Go through a plan's page as a brewer does: type into fields, wait for what it gives, press buttons."""

from __future__ import annotations

import pytest

from gylebook.tasks.drafts import draft_fields
from gylebook.tasks.plan_versions import look_at_plan

NAME = "Orchard amber"
HOME = "/gyle/Orchard%20amber"


def field(page, path: str):
    """The field of the form that belongs to a path of the plan."""
    return page.locator(f"[id='f.{path.replace(' ', '_')}']")


def opened(page, served, address: str = HOME):
    """The page at an address, its script at work."""
    page.goto(served.address + address)
    page.wait_for_load_state("networkidle")
    return page


def on_change(page, deed) -> None:
    """Do something, and wait for what it gives."""
    page.evaluate("document.querySelector('#wrong').dataset.before = 'yes'")
    deed()
    until(page, "document.querySelector('#wrong').dataset.before !== 'yes'")


def pressed(page, name: str) -> None:
    """Press a button that leads to another page, and wait for that."""
    with page.expect_navigation():
        page.get_by_role("button", name=name).click()


def until(page, what: str) -> None:
    """Wait until an expression holds; the page's policy lets nobody wait inside it."""
    for _ in range(600):
        if page.evaluate(what):
            return
        page.wait_for_timeout(25)
    pytest.fail(f"never came true: {what}")


def kept(served) -> dict[str, object]:
    """Fields of the newest version that was written."""
    return draft_fields(look_at_plan(served.location, NAME).own.text)
