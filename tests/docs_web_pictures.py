"""Photograph every place of the page for the docs, on a phone and on a desk.

In:  the example, brewed twice in a book made here: one gyle in the cellar, one in the middle of its day.
Out: docs/pictures/web-*.png and docs/places.md, which shows them.  Run it by hand:
`.venv/bin/python tests/docs_web_pictures.py [FOLDER]`.

With a folder it takes every page at both sizes, by day and by night, whole, to be looked at.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from urllib.parse import quote

from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parent))  # the fixtures of the page serve its book

from gylebook.tasks.brews import look_at_brew, make_book, start_brew, take_reading
from gylebook.tasks.day import day_order
from gylebook.tasks.day_deeds import begin_step
from gylebook.tasks.files import load_readings
from gylebook.tasks.plan_versions import keep_plan, look_at_plan
from gylebook.tasks.typed import reading_typed
from web.conftest import CHROMIUM_FLAGS, DESKTOP, EXAMPLE, PHONE, Served, serving

PICTURES = Path(__file__).parents[1] / "docs" / "pictures"
FIRST, SECOND, PLAN, SHED = (
    "Orchard amber, first time",
    "Orchard amber, once more",
    "Orchard amber",
    "The shed behind the orchard",
)
FILLED = datetime.fromisoformat("2026-03-14T16:00+01:00")
AT_HOME = "http" + "://192.168.0.20:8430"  # as a book in a house is found
BEGUN = (
    ("weigh.1", "08:31"),
    ("take the chlorine out.1", "08:40"),
    ("heat mash liquor.1", "08:44"),
    ("dose the mash liquor.1", "09:18"),
    ("dose the rinse liquor.1", "09:20"),
    ("mash in.1", "09:22"),
    ("rest.1", "09:33"),
    ("finish the mash pH.1", "09:47"),
    ("heat rinse liquor.1", "10:05"),
    ("lift and drain.1", "10:34"),
    ("dunk rinse.1", "10:50"),
    ("heat to the boil.1", "11:20"),
    ("boil.1", "12:05"),
    ("add to the boil.1", "12:06"),
)
NOW = datetime.fromisoformat("2026-04-03T12:31+02:00")
GRAVITIES = {
    "keg": ((2, "1.031"), (6, "1.016"), (12, "1.0125"), (16, "1.012")),
    "bottles": ((2, "1.033"), (7, "1.015"), (14, "1.012")),
    "long": ((3, "1.026"), (9, "1.013"), (18, "1.0115")),
}


@dataclass(frozen=True)
class Place:
    """A page to photograph, and what it is for."""

    name: str
    address: str
    what: str


def places() -> tuple[Place, ...]:
    shed, plan = f"/house/{quote(SHED)}", f"/gyle/{quote(PLAN)}"
    return (
        Place("start", "/start", "An empty book: what you brew on, and a first beer"),
        Place(
            "reach",
            f"/reach?of={quote(PLAN)}&at=1.057",
            "Reach: how much wort, and how strong, this gear can make",
        ),
        Place("gyle", plan, "Gyle: a plan, its run and its odds"),
        Place("versions", f"{plan}/versions", "Versions of a plan side by side"),
        Place(
            "adapt",
            f"{plan}/adapt?on={quote(SHED)}&onto={quote(SHED)}&litres=20+L",
            "The same beer elsewhere, or in another size",
        ),
        Place("receive", "/receive", "A parcel from another brewer"),
        Place("becomes", f"{plan}/becomes", "What else a wort could become"),
        Place("larder", f"{plan}/larder", "What to buy, in whole packs"),
        Place("divide", "/divide", "Which beers are wanted of one wort"),
        Place("fillings", "/fillings", "Portions that leave no litre over"),
        Place("day", f"/day/{quote(SECOND, safe='')}", "Day: the present step"),
        Place("cellar", "/cellar", "Cellar: every portion, and what is next"),
        Place("portion", f"/cellar/{quote(FIRST, safe='')}/long", "One portion: its curve and its readings"),
        Place("glass", "/glass", "Glass: blind tests and notes"),
        Place("house", "/house", "House: gear and what it has taught"),
        Place("gear", shed, "A brewery"),
        Place("figures", f"{shed}/figures", "House figures"),
        Place("evening", f"{shed}/evening", "An evening with water"),
        Place("ledger", "/ledger", "Ledger: every brew"),
        Place("reopened", f"/ledger/{quote(FIRST, safe='')}", "A brew reopened"),
        Place("devices", "/devices", "Devices that may open the book"),
    )


def fill_book(location: str) -> None:
    """A gyle that was packed and aged, and one whose boil has begun."""
    make_book(location)
    for name, day, last in ((FIRST, "2026-03-14", 24), (SECOND, "2026-04-03", 11)):
        zone = "+01:00" if name == FIRST else "+02:00"
        start_brew(location, name, EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml", f"{day}T08:30{zone}")
        for reading in load_readings(EXAMPLE / "readings.toml"):
            if int(reading.at[:2]) <= last:
                take_reading(location, name, replace(reading, at=f"{day}T{reading.at}{zone}"))
    for step, hour in BEGUN:
        order = day_order(look_at_brew(location, SECOND).outlook)
        begin_step(location, SECOND, order, step, f"2026-04-03T{hour}+02:00")
    changed = (
        look_at_plan(location, PLAN).own.text.replace('"28 IBU"', '"32 IBU"').replace('"34 L"', '"36 L"')
    )
    keep_plan(location, PLAN, changed, "a little more, and more bitter")
    read(location, "fermenters", "32.5 L", FILLED)
    for key, taken in GRAVITIES.items():
        for days, value in taken:
            read(location, f"portion.{key} ferment", value, FILLED + timedelta(days=days))


def read(location: str, step: str, value: str, at: datetime) -> None:
    """Write a reading of the first gyle down."""
    outlook = look_at_brew(location, FIRST).outlook
    take_reading(location, FIRST, reading_typed(outlook, step, value, None, None, at.isoformat()))


@contextmanager
def served_book() -> Iterator[Served]:
    """That book, served at an hour of its second brew day."""
    with tempfile.TemporaryDirectory() as folder:
        location = str(Path(folder) / "book.gyle")
        fill_book(location)
        with serving(location, pairing=True, clock=lambda: NOW, bases=(AT_HOME,)) as served:
            yield served


def opened(page: Page, served: Served, place: Place) -> None:
    """The page as it stands once its script has done its work."""
    page.clock.set_fixed_time(NOW)
    page.goto(served.address + place.address)
    page.wait_for_timeout(900)


def photograph(folder: Path, *, whole: bool) -> None:
    """Every place at every size; whole pages at night, too, where they are only looked at."""
    folder.mkdir(parents=True, exist_ok=True)
    schemes = ("light", "dark") if whole else ("light",)
    with served_book() as served, sync_playwright() as play:
        browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=CHROMIUM_FLAGS)
        for size, viewport in (("phone", PHONE), ("desk", DESKTOP)):
            for scheme in schemes:
                context = browser.new_context(
                    viewport=viewport, color_scheme=scheme, timezone_id="Europe/Berlin"
                )
                for place in places():
                    page = context.new_page()
                    opened(page, served, place)
                    dark = "-dark" if scheme == "dark" else ""
                    page.screenshot(path=folder / f"web-{place.name}-{size}{dark}.png", full_page=whole)
                    page.close()
                context.close()
        browser.close()


def write_page() -> None:
    """The page of the docs that shows every place."""
    lines = [
        "# How every place looks",
        "",
        "On a phone and on a desk, by day; written by `tests/docs_web_pictures.py` from an invented book.",
    ]
    for place in places():
        lines += ["", f"## {place.what}", ""]
        for size, width in (("phone", 200), ("desk", 520)):
            alt = f"{place.what}, on a {size}"
            lines.append(f'<img src="pictures/web-{place.name}-{size}.png" width="{width}" alt="{alt}">')
    (PICTURES.parent / "places.md").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        photograph(Path(sys.argv[1]), whole=True)
    else:
        photograph(PICTURES, whole=False)
        write_page()
