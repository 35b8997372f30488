"""The page of what a brewery can make: the edge at a gravity, and a plan begun on it."""

from __future__ import annotations

import re
import time
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import expect

from gylebook.tasks.drafts import draft_fields, look_at_draft
from gylebook.tasks.gear import breweries
from gylebook.tasks.plan_versions import keep_plan, plans_in
from gylebook.tasks.reach import WEAKEST_SG
from gylebook.tasks.reach_kept import point_at, reach_of
from gylebook.tasks.run_view import run_view

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
SHED, AMBER = (EXAMPLE / "brewery.toml").read_text(), (EXAMPLE / "plan.toml").read_text()


def edge(way: str, sg: float, plan: str | None = None, odds: float | None = None):
    """What the page has to tell of a way."""
    view = reach_of(SHED, plan, odds=odds, at_sg=sg)
    return point_at(next(curve for curve in view.curves if curve.way == way), sg)


def kept_text(served, name: str) -> str:
    return next(plan.text for plan in plans_in(served.location) if plan.name == name)


def foreseen(served, name: str):
    """Numbers and limits of a plan that was kept."""
    outlook = look_at_draft(kept_text(served, name), SHED, draws=1000)
    return outlook.numbers, {(one.name, one.vessel): one for one in run_view(outlook).limits}


def test_a_book_without_a_brewery_leads_to_its_beginning(empty_book, phone, faults):
    phone.goto(f"{empty_book.address}/reach")

    expect(phone.get_by_role("link", name="Begin with the gear")).to_have_attribute("href", "/start")
    assert faults(phone) == []


def test_it_is_a_place_wherever_there_is_a_brewery(brewing, phone):
    phone.goto(f"{brewing.address}/house")
    phone.get_by_role("navigation", name="Places").get_by_role("link", name="Reach").click()

    expect(phone.locator("h1")).to_have_text("Reach")


def test_a_tapped_gravity_tells_every_way_there_with_what_stops_it(brewing, phone):
    phone.goto(f"{brewing.address}/reach")
    phone.get_by_role("link", name="At 1.060").click()

    expect(phone.get_by_role("heading", name="At 1.060")).to_be_visible()
    dunk = edge("dunk rinse", 1.060)
    told = phone.locator(".way", has_text="dunking")
    expect(told).to_contain_text(f"At most {dunk.volume_l:.1f} L, {dunk.even_l:.1f} L at even odds.")
    expect(told).to_contain_text("Foam room in the kettle stops it.")
    expect(phone.locator(".gains li", has_text=re.compile("A kettle of 62 L adds"))).to_be_visible()
    expect(phone.locator(".gains li", has_text="min longer costs")).to_be_visible()


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_a_strip_lies_over_its_own_gravity_and_a_finger_can_hit_it(brewing, request, size):
    page = request.getfixturevalue(size)
    page.goto(f"{brewing.address}/reach")
    picture = page.locator(".drawn > svg").bounding_box()
    strips = [link for link in page.locator(".strips a").all() if link.is_visible()]

    assert len(strips) >= 6
    for number, strip in enumerate(strips):
        box, sg = strip.bounding_box(), float(strip.inner_text().removeprefix("At "))
        x = picture["x"] + picture["width"] * (92.0 + 660.0 * (sg - WEAKEST_SG) / 0.08) / 780.0
        assert box["x"] <= x + 1.0 <= box["x"] + box["width"] + 2.0
        if 0 < number < len(strips) - 1:
            assert box["x"] + box["width"] / 2.0 == pytest.approx(x, abs=1.5)
        assert box["width"] >= (44.0 if size == "phone" else 24.0)
        assert box["height"] >= 44.0
        assert parse_qs(urlsplit(strip.get_attribute("href")).query)["at"] == [f"{sg:.3f}"]


def test_a_gravity_is_typed_in_the_unit_that_is_read(brewing, phone):
    phone.goto(f"{brewing.address}/reach?at=1.057")
    phone.locator("footer select[name=gravity]").select_option("plato")
    phone.get_by_role("button", name="Show so").click()
    phone.get_by_role("textbox", name="Gravity before yeast").fill("18")
    phone.get_by_role("button", name="Show", exact=True).click()

    expect(phone.get_by_role("heading", name="At 18.0 °P")).to_be_visible()


def test_what_a_change_buys_is_told_of_the_way_that_is_chosen(brewing, phone):
    phone.goto(f"{brewing.address}/reach?at=1.060")
    best = phone.locator(".gains").inner_text()
    phone.get_by_role("link", name="Mash with all the liquor, no rinse").click()

    expect(phone.get_by_role("heading", name="At 1.060")).to_be_visible()
    expect(phone.locator(".of strong")).to_have_text("Mash with all the liquor, no rinse")
    assert phone.locator(".gains").inner_text() != best


def test_other_odds_and_another_beer_move_the_edge(brewing, phone):
    phone.goto(f"{brewing.address}/reach?at=1.060")
    phone.get_by_role("combobox", name="Every limit kept").select_option("50 %")
    phone.get_by_label("Grist, rests and boil of").select_option("Orchard amber")
    phone.get_by_role("button", name="Show", exact=True).click()

    even = edge("dunk rinse", 1.060, AMBER, 0.5).volume_l
    assert even > edge("dunk rinse", 1.060, AMBER, 0.9).volume_l + 1.0
    expect(phone.locator(".way", has_text="dunking")).to_contain_text(f"At most {even:.1f} L.")
    expect(phone.locator("main")).to_contain_text("every limit kept 50 in 100")


def test_a_plan_begun_on_the_edge_is_solved_to_it_and_keeps_every_limit(brewing, phone):
    phone.goto(f"{brewing.address}/reach?at=1.060")
    phone.get_by_role("radio", name="Rinse the bag by dunking it").check()
    phone.get_by_role("button", name="Plan this").click()

    expect(phone.locator("h1")).to_have_text("Pale beer of 1.060")
    fields = draft_fields(kept_text(brewing, "Pale beer of 1.060"))
    assert (fields["aims.gravity"], fields["process.kind"]) == ("1.060", "dunk rinse")
    numbers, limits = foreseen(brewing, "Pale beer of 1.060")
    assert numbers["og"].median == pytest.approx(1.060, abs=2e-4)
    most = edge("dunk rinse", 1.060).volume_l
    assert fields["aims.fermenters"] == f"{0.98 * most:.1f} L"
    # It lies just inside the edge, so what stops it is kept, and by no more than that.
    assert limits["foam room", "kettle"].margin.low < 1.2
    assert min(limit.odds_kept for limit in limits.values()) >= 0.9


def test_a_poured_rinse_is_split_as_it_was_at_the_edge(brewing, phone):
    phone.goto(f"{brewing.address}/reach?at=1.060")
    phone.get_by_role("radio", name="Pour a rinse over the bag").check()
    phone.get_by_label("How much").fill("20 L")
    phone.get_by_label("Its name", exact=True).fill("Poured")
    phone.get_by_role("button", name="Plan this").click()

    expect(phone.locator("h1")).to_have_text("Poured")
    point, fields = edge("poured rinse", 1.060), draft_fields(kept_text(brewing, "Poured"))
    mash_l = 20.0 / point.volume_l * point.mash_l
    assert fields["aims.fermenters"] == "20.0 L"
    assert mash_l <= float(fields["liquor.mash"].removesuffix(" L")) <= 1.04 * mash_l
    assert fields["process.kind"] == "poured rinse"


def test_liquor_in_the_fermenters_goes_to_every_portion_by_its_share(brewing, phone):
    phone.goto(f"{brewing.address}/reach?at=1.050&of=Orchard%20amber&odds=90%20%25")
    phone.get_by_role("radio", name="Stronger wort, liquor in the fermenters").check()
    phone.get_by_label("How much").fill("36")
    phone.get_by_label("Its name", exact=True).fill("Thinned")
    phone.get_by_role("button", name="Plan this").click()

    expect(phone.locator("h1")).to_have_text("Thinned")
    fields = draft_fields(kept_text(brewing, "Thinned"))
    poured = {
        key: float(fields[f"portions.{key}.top_up"].removesuffix(" L")) for key in ("keg", "bottles", "long")
    }
    point = edge("liquor in the fermenters", 1.050, AMBER, 0.9)
    assert sum(poured.values()) == pytest.approx(36.0 / point.volume_l * point.liquor_l, abs=0.15)
    assert poured["keg"] / sum(poured.values()) == pytest.approx(0.44, abs=0.01)
    assert "liquor.kettle" not in fields
    assert fields["grist.1.grain"] == "Munich malt, light"
    numbers, _ = foreseen(brewing, "Thinned")
    assert numbers["og"].median == pytest.approx(1.050, abs=3e-4)


def test_masses_of_a_plan_become_shares_since_they_belonged_to_another_volume(brewing, phone):
    weighed = AMBER.replace('"Orchard amber"', '"Weighed"')
    for share, mass in (("62 %", "6 kg"), ("31 %", "3 kg"), ("7 %", "1 kg")):
        weighed = weighed.replace(f'share = "{share}"', f'mass = "{mass}"', 1)
    keep_plan(brewing.location, "Weighed", weighed)
    phone.goto(f"{brewing.address}/reach?of=Weighed&at=1.060")
    phone.get_by_role("radio", name="Rinse the bag by dunking it").check()
    phone.get_by_role("button", name="Plan this").click()

    expect(phone.locator("h1")).to_have_text("Weighed of 1.060")
    fields = draft_fields(kept_text(brewing, "Weighed of 1.060"))
    assert [fields[f"grist.{row}.share"] for row in range(3)] == ["60 %", "30 %", "10 %"]
    assert not [path for path in fields if path.startswith("grist") and path.endswith("mass")]


@pytest.mark.parametrize(
    ("field", "typed", "told"),
    [
        ("How much", "500 L", "No more than"),
        ("How much", "lots", "lots"),
        ("Its name", "Orchard amber", "is a plan of this book already"),
    ],
)
def test_what_cannot_be_planned_is_said_beside_and_nothing_typed_is_lost(brewing, phone, field, typed, told):
    phone.goto(f"{brewing.address}/reach?at=1.060")
    phone.complaints.clear()
    phone.get_by_role("radio", name="Mash with all the liquor").check()
    phone.get_by_label(field, exact=field == "Its name").fill(typed)
    phone.get_by_role("button", name="Plan this").click()

    expect(phone.get_by_role("alert")).to_contain_text(told)
    expect(phone.get_by_label(field, exact=field == "Its name")).to_have_value(typed)
    expect(phone.get_by_role("radio", name="Mash with all the liquor")).to_be_checked()
    assert [plan.name for plan in plans_in(brewing.location)] == ["Orchard amber"]
    phone.complaints.clear()  # the browser tells of the 422 itself


@pytest.mark.parametrize(
    "asked",
    ["at=1.4", "at=soup", "odds=20%20%25", "on=nowhere", "of=nothing", "at=14%20L", "by=juggling"],
)
def test_what_cannot_be_asked_is_said_and_the_form_stays(brewing, phone, asked):
    answer = phone.request.get(f"{brewing.address}/reach?{asked}")

    assert answer.status == 422
    assert 'role="alert"' in answer.text()
    assert 'name="of"' in answer.text()


def test_a_way_that_no_plan_can_say_is_not_begun(brewing, phone):
    sent = {"way": "two mashes", "name": "Twice", "at": "1.060"}
    answer = phone.request.post(f"{brewing.address}/reach", form=sent, headers={"origin": brewing.address})

    assert answer.status == 422
    assert "Choose one of the ways" in answer.text()
    assert [plan.name for plan in plans_in(brewing.location)] == ["Orchard amber"]


def test_it_answers_within_a_second_and_another_gravity_at_once(brewing, phone):
    for path, most in (("/reach?odds=80%20%25", 3.0), ("/reach?odds=80%20%25&at=1.071", 1.0)):
        start = time.perf_counter()
        phone.request.get(f"{brewing.address}{path}")
        assert time.perf_counter() - start < most


def test_it_needs_no_script_at_all(brewing, chromium):
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{brewing.address}/reach")
    page.get_by_role("link", name="At 1.075").click()
    expect(page.get_by_role("heading", name="At 1.075")).to_be_visible()
    page.get_by_role("link", name="stronger").click()
    expect(page.get_by_role("heading", name="At 1.076")).to_be_visible()
    page.get_by_text("as tables").click()
    expect(page.get_by_role("table", name="Rinse the bag by dunking it")).to_be_visible()
    page.get_by_role("button", name="Plan this").click()
    expect(page.locator("h1")).to_have_text("Pale beer of 1.076")
    context.close()


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_nobody_is_shut_out(brewing, faults, request, size):
    page = request.getfixturevalue(size)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        page.goto(f"{brewing.address}/reach?at=1.060")
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
        assert faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert page.locator("main [style]").count() == 0


def test_the_page_is_small(brewing, phone):
    answer = phone.request.get(f"{brewing.address}/reach", headers={"accept-encoding": "gzip"})

    assert int(answer.headers["content-length"]) < 25_000
    assert len(breweries(brewing.location)) == 1


def test_a_refusal_stands_at_the_head_of_the_page_and_leads_to_its_field(brewing, phone, faults):
    phone.goto(f"{brewing.address}/reach?at=1.060")
    phone.get_by_label("How much").fill("-3")
    phone.get_by_role("button", name="Plan this").click()

    told = phone.get_by_role("alert")
    expect(told).to_contain_text("volume is not below zero")
    expect(told).to_be_in_viewport()
    told.get_by_role("link", name="How much").click()
    expect(phone.get_by_label("How much")).to_be_in_viewport()
    phone.complaints.clear()  # the browser tells of the 422 itself
    assert faults(phone) == []


def test_what_is_asked_at_the_head_is_answered_in_sight(brewing, phone):
    phone.goto(f"{brewing.address}/reach")
    phone.get_by_label("Gravity before yeast").fill("1.070")
    phone.get_by_role("button", name="Show", exact=True).click()

    assert phone.url.endswith("#edge")
    expect(phone.locator("#edge")).to_be_in_viewport()
