"""Divide a wort in a browser: from beers to solutions, to a plan of the book, and back from a plan."""

from __future__ import annotations

import re
import zlib
from urllib.parse import quote, urlencode

import pytest
from playwright.sync_api import expect

from gylebook.record.store import open_book
from gylebook.tasks.brews import make_book
from gylebook.tasks.drafts import look_at_draft
from gylebook.tasks.plan_versions import copy_plan, look_at_plan
from web.conftest import DESKTOP, EXAMPLE, PHONE, looking, serving

PLAN = "Orchard amber"
ASK, FOUND, BECOMES = "/divide", "/divide/worts", "/gyle/Orchard%20amber/becomes"
FILL, BUY = "/fillings?kegs=9.5&bottle=0.5", "/gyle/Orchard%20amber/larder?asked=1&currency=EUR&price1=3"
PAIR = {
    "name": "Autumn pair",
    "b1_name": "Arbour pale",
    "b1_style": "American Pale Ale (BJCP2021-18B)",
    "b2_name": "Shade porter",
    "b2_style": "BJCP2021-13C",
    "b2_package": "bottles",
}
CLASH = {
    "b1_gravity": "1.050",
    "b1_bitterness": "5 to 8",
    "b2_gravity": "1.050",
    "b2_bitterness": "70 to 80",
}


@pytest.fixture(scope="module")
def shed(tmp_path_factory):
    """A book with a brewery and a plan in it and no brew yet, served."""
    location = str(tmp_path_factory.mktemp("divide") / "book.gyle")
    make_book(location)
    with open_book(location) as book:
        book.keep_brewery("shed", (EXAMPLE / "brewery.toml").read_text(encoding="utf-8"))
        book.keep_plan(PLAN, (EXAMPLE / "plan.toml").read_text(encoding="utf-8"))
    with serving(location) as served:
        yield served


@pytest.fixture(params=[False, True], ids=["without script", "with script"])
def reader(request, chromium):
    """A phone whose browser runs script, or none."""
    with looking(chromium, PHONE, java_script_enabled=request.param) as page:
        yield page


def asked(given, treatments=("dilution", "sugar", "hop tea", "grain tea")):
    """The query of a form in which each beer may get these."""
    may = [(f"b{n}_may", one) for n in range(1, int(given.get("beers", "2")) + 1) for one in treatments]
    return f"{FOUND}?{urlencode([*given.items(), *may])}"


def filled(page, given) -> None:
    """Type into the form."""
    for name, value in given.items():
        control = page.locator(f"[name='{name}']").first
        if control.evaluate("it => it.tagName") == "SELECT":
            control.select_option(value)
        else:
            control.fill(value)


def pressed(page, role: str, name: str) -> None:
    """Press what leads to another page, and wait for that."""
    with page.expect_navigation():
        page.get_by_role(role, name=name).first.click()


def main_text(page) -> str:
    return page.locator("main").inner_text()


def test_two_beers_are_named_a_wort_is_found_and_kept_as_a_plan(shed, reader):
    reader.goto(shed.address + ASK)
    filled(reader, PAIR)
    pressed(reader, "button", "Find the wort")

    solutions = reader.locator(".solutions section")
    assert solutions.count() >= 2
    assert "Arbour pale" in solutions.first.inner_text()
    assert "Bottle no beer that still ferments" in solutions.first.inner_text()

    foreseen = solutions.nth(1).locator("tr", has_text="final gravity").first.locator("td").first.inner_text()
    pressed(reader, "button", "Keep the second as a plan")

    name = reader.locator("h1").inner_text()
    assert name.startswith("Autumn pair")
    view = look_at_plan(shed.location, name)
    outlook = look_at_draft(view.own.text, view.breweries[0].text, view.tables)
    assert outlook.numbers["portion.arbour-pale.fg"].median == pytest.approx(float(foreseen), abs=0.001)


def test_a_solution_kept_twice_gets_a_name_of_its_own(shed, phone):
    address = asked({**PAIR, "name": "Twice over"})
    for _ in range(2):
        phone.goto(shed.address + address)
        pressed(phone, "button", "Keep the first as a plan")

    assert phone.locator("h1").inner_text() == "Twice over, 2"
    assert look_at_plan(shed.location, "Twice over").own.version == 1


def test_what_is_not_understood_is_said_at_its_field_and_nothing_typed_is_lost(shed, phone):
    wrong = {
        **PAIR,
        "b1_style": "American Pail Ale",
        "b2_volume": "lots",
        "b2_gravity": "thick",
        "share1": "70",
    }

    phone.goto(shed.address + asked(wrong))

    for name, value in wrong.items():
        assert phone.locator(f"[name='{name}']").first.input_value() == value
    told = phone.get_by_role("alert").inner_text()
    assert all(part in told for part in ("Pail Ale", "“lots”", "“thick”", "Pale Ale (BJCP", "add to 90 %"))
    marked = phone.locator("[aria-invalid='true']")
    assert {marked.nth(n).get_attribute("name") for n in range(marked.count())} == {
        *("b1_style", "b2_volume", "b2_gravity", "share1")
    }
    phone.get_by_role("alert").get_by_role("link").first.click()
    assert phone.evaluate("location.hash") != ""
    phone.complaints.clear()  # the browser tells of the answer's 422


def test_a_beer_more_keeps_what_was_typed_up_to_six(shed, reader):
    reader.goto(shed.address + ASK)
    filled(reader, {"b1_name": "Arbour pale", "b2_volume": "9 L"})
    for beers in range(3, 7):
        pressed(reader, "button", "One beer more")
        reader.locator(f"[name='b{beers}_name']").wait_for()

    assert reader.locator("[name='b1_name']").input_value() == "Arbour pale"
    assert reader.locator("[name='b2_volume']").input_value() == "9 L"
    assert reader.get_by_role("button", name="One beer more").count() == 0


def test_a_box_that_was_cleared_stays_cleared(shed, phone):
    phone.goto(shed.address + ASK)
    phone.locator("[name='b1_may'][value='sugar']").uncheck()
    pressed(phone, "button", "One beer more")
    phone.locator("[name='b3_name']").wait_for()

    assert not phone.locator("[name='b1_may'][value='sugar']").is_checked()
    assert phone.locator("[name='b1_may'][value='dilution']").is_checked()
    assert phone.locator("[name='b3_may'][value='sugar']").is_checked()


def test_hops_of_one_beer_may_boil_in_a_part_of_its_own_wort(shed, phone):
    phone.goto(shed.address + ASK)
    aims = {"b1_gravity": "1.046 to 1.054", "b2_gravity": "1.046 to 1.056"}
    filled(phone, {"b1_name": "Mild", "b2_name": "Bitter", "hops_in": "wort"})
    phone.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    filled(phone, {**aims, "b1_bitterness": "10 to 15", "b2_bitterness": "35 to 40"})
    pressed(phone, "button", "Find the wort")

    assert re.search(r"\d L of its own wort boiled apart for 30 min with \d+ g Perle", main_text(phone))
    assert "Wort boiled apart for one" in main_text(phone)


def test_beers_that_one_wort_cannot_serve_are_told_what_stands_between(shed, phone):
    phone.goto(shed.address + asked({**PAIR, "b1_style": "", "b2_style": "", **CLASH}, treatments=()))

    told = main_text(phone)
    assert "Arbour pale wants a bitterness of at most 8 IBU" in told
    assert "a tea of" in told
    assert "Not within all that was asked" in told


def test_a_beer_that_no_wort_serves_is_named(shed, phone):
    beyond = {**PAIR, "b2_style": "", "b2_gravity": "1.148"}

    phone.goto(shed.address + asked(beyond, treatments=()))

    assert "brings Shade porter to the gravity" in main_text(phone)


def test_one_fermenter_is_not_filled_twice(shed, phone):
    phone.goto(shed.address + asked({**PAIR, "b1_fermenter": "glass", "b2_fermenter": "glass"}))

    assert "one fermenter holds one beer" in phone.get_by_role("alert").inner_text()
    phone.complaints.clear()


def test_a_bare_number_stays_in_the_unit_that_stood_beside_it(shed, phone):
    phone.goto(shed.address + ASK)
    filled(phone, {**PAIR, "b1_volume": "8", "b2_volume": "8"})
    pressed(phone, "button", "Find the wort")
    assert re.search(r"\b1[56]\.\d L in all", main_text(phone))

    phone.locator("[name='system']").select_option("us")
    pressed(phone, "button", "Show so")

    assert re.search(r"\b4\.[123]\d* gal in all", main_text(phone))
    pressed(phone, "link", "Ask for something else")
    assert phone.get_by_label("Wort in it, L").first.input_value() == "8"


def test_from_a_plan_to_what_else_its_wort_could_become(shed, reader):
    reader.goto(f"{shed.address}/gyle/Orchard%20amber")
    pressed(reader, "link", "What else could this wort become?")

    first = reader.locator(".becomings li").first
    assert reader.locator(".becomings li").count() > 10
    assert "inside on all" in first.inner_text()
    reader.get_by_label("The wort in the place of").select_option(index=1)
    pressed(reader, "button", "Ask again")
    assert "portion=" in reader.url
    assert reader.locator(".becomings li").count() > 10


def test_what_to_buy_is_asked_row_by_row_and_the_weights_are_kept(shed, reader, request):
    name = copy_plan(shed.location, PLAN, f"To be bought {request.node.name}")
    reader.goto(f"{shed.address}/gyle/{quote(name)}")
    pressed(reader, "link", "What to buy for it")
    filled(reader, {"size1": "5 kg", "price1": "12", "at_hand1": "1.3 kg", "currency": "EUR"})
    pressed(reader, "button", "What to buy")

    first = reader.locator(".list tbody tr").first.inner_text()
    assert all(part in first for part in ("Vienna malt", "1 × 5.00 kg", "12.00 EUR"))
    pressed(reader, "button", "Keep these weights as a version")

    kept = look_at_plan(shed.location, name).own
    assert kept.version == 2
    assert "whole packs" in kept.note
    assert reader.locator(".told").inner_text() == f"Kept as version {kept.version}."


def test_packs_that_cannot_be_read_are_said_beside_their_field(shed, phone):
    phone.goto(f"{shed.address}/gyle/Orchard%20amber/larder?asked=1&size1=many&price2=cheap&at_hand3=50+g")

    assert phone.locator("#size1").input_value() == "many"
    assert "“many”" in phone.locator("#size1_wrong").inner_text()
    assert "“cheap”" in phone.locator("#price2_wrong").inner_text()
    assert phone.locator("#at_hand3").input_value() == "50 g"
    phone.complaints.clear()


def test_a_cupboard_that_holds_too_little_and_no_shop_is_said(shed, phone):
    phone.goto(f"{shed.address}/gyle/Orchard%20amber/larder?asked=1&size1=&at_hand1=1+kg")

    assert "do not hold what this plan needs" in phone.get_by_role("alert").inner_text()


def test_from_kegs_and_bottles_to_the_beers_that_fill_them(shed, reader):
    reader.goto(shed.address + ASK)
    pressed(reader, "link", "Ask which portions fill what there is")
    filled(reader, {"kegs": "9.5 and 9.5", "bottle": "0.5", "wanted": "34"})
    pressed(reader, "button", "Fill them")

    first = reader.locator(".becomings > li").first
    assert "nothing left over" in first.inner_text()
    fillings = first.locator("ul li").count()
    pressed(reader, "link", "Name the beers for these")

    volumes = [reader.locator(f"[name='b{n}_volume']").input_value() for n in range(1, fillings + 1)]
    assert 33.0 < sum(map(float, volumes)) < 35.0


@pytest.mark.parametrize(
    ("query", "told"),
    [
        ("kegs=nine", "“nine” is not a number with a unit"),
        ("bottle=0.5+and+0.33", "2 sizes"),
        ("wanted=34", "neither kegs nor bottles"),
        ("bottle=9000", "Take 0.1 to 2000 L"),
        ("kegs=-9", "olume is not below zero"),
    ],
)
def test_sizes_that_mean_nothing_are_said(shed, phone, query, told):
    phone.goto(f"{shed.address}/fillings?{query}")

    assert told in main_text(phone)
    phone.complaints.clear()


def test_a_book_without_a_brewery_leads_to_the_gear(empty_book, phone):
    phone.goto(empty_book.address + ASK)
    pressed(phone, "link", "Begin with the gear")

    assert phone.url.endswith("/start")


def test_from_the_plans_to_the_form(shed, phone):
    phone.goto(f"{shed.address}/gyle/Orchard%20amber")
    pressed(phone, "link", "Several beers of one wort")

    assert "Which beers are wanted" in phone.locator("h1").inner_text()


@pytest.mark.parametrize("query", ["beers=99", "beers=x&b1_name=%00", "b1_fermenter=none", "name=&b1_name="])
def test_no_query_brings_the_page_down(shed, phone, query):
    for address in (ASK, FOUND):
        answer = phone.request.get(f"{shed.address}{address}?{query}")
        assert answer.status in (200, 422), (address, query)


@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "light"), (DESKTOP, "dark")])
def test_nothing_bars_anyone_from_these_pages(shed, chromium, faults, size, scheme):
    with looking(chromium, size, color_scheme=scheme) as page:
        for address in (ASK, asked(PAIR), asked({**PAIR, "b1_style": "Pail"}), BECOMES, FILL, BUY):
            page.goto(shed.address + address)
            page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
            assert faults(page) == [], address
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), address
        page.complaints.clear()


def test_the_pages_are_small(shed, phone):
    for address in (ASK, asked({**PAIR, "beers": "6"}), asked(PAIR), BECOMES, FILL, BUY):
        answer = phone.request.get(shed.address + address).body()
        parts = re.findall(rb'(?:href|src)="(/static/[^"]+)"', answer)
        bodies = [answer, *(phone.request.get(shed.address + part.decode()).body() for part in parts)]
        assert sum(len(zlib.compress(body)) for body in bodies) < 60_000, address


def test_the_answer_is_in_sight_after_asking(shed, phone):
    phone.goto(f"{shed.address}/gyle/Orchard%20amber/larder")
    pressed(phone, "button", "What to buy")
    expect(phone.get_by_role("heading", name="The list")).to_be_in_viewport()

    phone.goto(f"{shed.address}/fillings")
    phone.get_by_label("Kegs").fill("9.5")
    phone.get_by_label("One bottle").fill("0.5")
    pressed(phone, "button", "Fill them")
    expect(phone.get_by_role("heading", name="Sets of portions")).to_be_in_viewport()


@pytest.mark.parametrize(
    ("at", "label", "button", "field"),
    [
        ("/fillings", "One bottle", "Fill them", "bottle"),
        (BUY.partition("?")[0], "and costs", "What to buy", "price1"),
    ],
)
def test_a_refusal_is_in_sight_and_leads_to_its_field(shed, phone, at, label, button, field):
    phone.goto(shed.address + at)
    phone.get_by_label(label).first.fill("much")
    pressed(phone, "button", button)

    told = phone.get_by_role("alert")
    expect(told).to_be_in_viewport()
    told.get_by_role("link").first.click()
    assert phone.url.endswith(f"#{field}")
    expect(phone.locator(f"#{field}")).to_be_in_viewport()
    phone.complaints.clear()  # the browser tells of the answer's 422


def test_beers_without_an_aim_are_told_in_words_of_the_page(shed, phone):
    phone.goto(shed.address + asked({**PAIR, "b1_style": "", "b2_volume": "-3"}))

    told = phone.get_by_role("alert").inner_text()
    assert "name a style, or give a figure of its own" in told
    assert "a volume is not below zero" in told
    assert '= "' not in told
    phone.complaints.clear()
