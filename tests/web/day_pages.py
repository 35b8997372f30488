"""Go through the Day page as a brewer does: begin steps, type on the keypad, look."""

from __future__ import annotations

from urllib.parse import quote

from web.conftest import BREW

DAY = f"/day/{quote(BREW, safe='')}"


def open_day(page, served, more: str = "") -> None:
    """The Day page of the example's brew, listening."""
    page.goto(f"{served.address}{DAY}{more}")


def title(page) -> str:
    """What the present step is called."""
    return page.locator("#slot h2").inner_text().replace("\n", " ")


def wait_for_title(page, text: str) -> None:
    """Wait until the present step is that one, by whomever it was begun."""
    page.wait_for_selector(f'#slot h2:text-is("{text}")', timeout=5000)


def wait_for_kept(page, count: int) -> None:
    """Wait until the phone says that so many deeds wait on it."""
    page.wait_for_selector(f'#kept h2:text-is("Kept on this phone: {count}")', timeout=10_000)


def clock(page) -> str:
    """What its clock shows."""
    return page.locator("#slot .clock").inner_text()


def begin(page, step: str) -> None:
    """Begin a step out of the list."""
    li = page.locator(f'.order > li[data-id="{step}"]')
    if not li.locator("> details").evaluate("box => box.open"):
        li.locator("> details > summary").click()
    li.get_by_role("button", name="now").click()
    page.wait_for_selector(f'#slot article[data-id="{step}"]')


def go_on(page) -> None:
    """Press what leads to the next step."""
    page.locator("#slot .next button").click()


def reading(page, name: str):
    """The box of one reading of the present step, opened."""
    box = page.locator("#slot details.reading", has=page.get_by_text(name, exact=True))
    if not box.evaluate("one => one.open"):
        box.locator("> summary").click()
    return box


def write_down(page, name: str, value: str) -> None:
    """Type a reading on the keypad and write it down."""
    box = reading(page, name)
    for sign in value:
        box.locator(f'[data-key="{sign}"]').click()
    box.get_by_role("button", name="write it down", exact=True).click()


def written(served) -> list:
    """The readings that the book holds, in their order."""
    events = served.desk.hand.standing(BREW).written
    return [event for event in events if event.kind == "reading"]


def post(page, served, deed: str, **form) -> object:
    """Send a form as a page of ours would."""
    return page.request.post(
        f"{served.address}{DAY}/{deed}",
        form=form,
        headers={"sec-fetch-site": "same-origin", "accept": "application/json"},
    )
