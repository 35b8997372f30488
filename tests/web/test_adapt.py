"""A plan goes to another brewery of the book and to another brewer, from a phone, with and without script."""

from __future__ import annotations

import gzip
import re

import httpx
import pytest

from command_line import EXAMPLE
from gylebook.faces.web.places import address_of
from gylebook.record.store import open_book
from gylebook.tasks.plan_versions import begin_plan

SHED, CANAL = "The shed behind the orchard", "The cellar by the canal"
AT = "/gyle/Orchard%20amber/adapt"
MOST_BYTES = 60_000


def canal() -> str:
    """The example's brewery with softer water and a smaller kettle, and no hoist."""
    text = (EXAMPLE / "brewery.toml").read_text(encoding="utf-8")
    for old, new in (
        (SHED, CANAL),
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
        book.keep_brewery(SHED, (EXAMPLE / "brewery.toml").read_text(encoding="utf-8"))
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


def parcel_of(served) -> str:
    asked = {"on": SHED, "sender": "Ada", "note": "Keeps well."}
    return httpx.get(f"{served.address}/gyle/Orchard%20amber/parcel", params=asked, timeout=30).text


def test_a_plan_is_solved_for_the_other_brewery_and_kept(shelf, phone, faults):
    carry(phone, shelf, "18 L")

    gravity = phone.get_by_role("row", name=re.compile("Original gravity")).first.inner_text()
    assert gravity.count("1.052") == 2
    assert "18.0 L after" in phone.inner_text("main")
    assert faults(phone) == []

    phone.get_by_label("As a plan called").fill("Canal amber")
    phone.get_by_role("button", name="Keep this plan").click()

    assert "Kept as Canal amber" in phone.inner_text("main")
    kept = plans_of(shelf)["Canal amber"]
    assert 'name = "Canal amber"' in kept
    assert 'mass = "' in kept
    assert 'fermenters = "18 L"' in kept


def test_what_does_not_go_there_stands_above_the_amounts(shelf, desktop, faults):
    carry(desktop, shelf)

    said = desktop.inner_text("main")
    assert "▲ The brim at the mash in the kettle" in said
    assert said.index("What does not go there") < said.index("To weigh and measure out")
    assert faults(desktop) == []

    desktop.get_by_role("link", name="How much of it would go there?").click()

    assert re.search(r"the brewery carries \d\d\.\d L with every limit", desktop.inner_text("main"))


def test_all_of_it_works_without_script(shelf, chromium):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()

    carry(page, shelf, "4.5 gal")

    assert "17.0 L after" in page.inner_text("main")
    context.close()


def test_from_the_plan_one_comes_to_the_other_brewery_and_to_a_parcel(shelf, phone):
    phone.goto(shelf.address + "/gyle/Orchard%20amber?on=" + SHED.replace(" ", "+"))
    phone.get_by_role("link", name="open a parcel").click()
    assert "A parcel from another brewer" in phone.inner_text("h1")

    phone.go_back()
    phone.get_by_role("link", name="another brewery, or more or less of it").click()

    assert phone.get_by_label("Planned for").input_value() == SHED


def test_a_name_that_holds_a_slash_goes_elsewhere_too(shelf):
    begin_plan(shelf.location, "amber 1/2", (EXAMPLE / "plan.toml").read_text(encoding="utf-8"), "")

    at = f"{shelf.address}/gyle/{address_of('amber 1/2')}/adapt"
    answer = httpx.get(at, params={"on": SHED, "onto": CANAL, "litres": "18 L"}, timeout=30)

    assert answer.status_code == 200
    assert "amber 1/2, elsewhere" in answer.text


def test_both_plans_come_on_paper(shelf):
    asked = {"on": SHED, "onto": CANAL, "litres": "18 L"}

    answer = httpx.get(f"{shelf.address}{AT}/sheet", params=asked, timeout=30)

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


def test_a_brewery_that_the_book_lacks_is_named(shelf):
    answer = httpx.get(shelf.address + AT, params={"on": SHED, "onto": "The moon"}, timeout=30)

    assert answer.status_code == 422
    assert "“The moon” is not in this book" in answer.text


def test_a_size_that_is_none_comes_back_as_it_was_typed(shelf):
    answer = httpx.get(
        shelf.address + AT, params={"on": SHED, "onto": CANAL, "litres": "eighteen"}, timeout=30
    )

    assert answer.status_code == 422
    assert 'value="eighteen"' in answer.text
    assert "“eighteen”" in answer.text


@pytest.mark.parametrize(("litres", "status"), [("18", 200), ("18 L", 200), ("-18", 422)])
def test_a_bare_size_has_the_unit_that_its_label_names(shelf, litres, status):
    answer = httpx.get(shelf.address + AT, params={"on": SHED, "onto": CANAL, "litres": litres}, timeout=30)

    assert answer.status_code == status
    assert "Into all fermenters, L" in answer.text
    assert f'value="{litres.removesuffix(" L")} L"' in answer.text
    assert ("not below zero" in answer.text) == (status == 422)


@pytest.mark.parametrize(
    ("called", "said"),
    [
        ("Orchard amber", "is a plan of this book already"),
        ("  ", "give the new plan a name"),
        ("a" * 130, "up to 120 plain characters"),
    ],
)
def test_a_name_that_cannot_be_kept_is_said_beside_it(shelf, called, said):
    form = {"on": SHED, "onto": CANAL, "litres": "18 L", "called": called}

    answer = httpx.post(shelf.address + AT, data=form, headers={"origin": shelf.address}, timeout=30)

    assert answer.status_code == 422
    assert said in answer.text
    assert list(plans_of(shelf)) == ["Orchard amber"]


def test_a_parcel_goes_out_and_comes_in(shelf, phone, faults):
    phone.goto(shelf.address + AT)
    phone.get_by_label("The name to go by").fill("Ada")
    with phone.expect_download() as loading:
        phone.get_by_role("button", name="Pack it into a file").click()
    assert loading.value.suggested_filename == "Orchard amber.parcel.toml"

    phone.goto(shelf.address + "/receive")
    assert faults(phone) == []
    phone.get_by_label("The file that you were sent").set_input_files(loading.value.path())
    phone.get_by_label("To be brewed on").select_option(CANAL)
    phone.get_by_label("Into all fermenters").fill("18 L")
    phone.get_by_role("button", name="Solve it there").click()

    said = phone.inner_text("main")
    assert "from Ada" in said
    assert "It does not prove who packed it" in said
    assert faults(phone) == []

    phone.get_by_label("As a plan called").fill("Ada's amber")
    phone.get_by_role("button", name="Keep this plan").click()

    assert "Ada's amber" in plans_of(shelf)
    assert "Kept as Ada's amber" in phone.inner_text("main")


def test_a_damaged_parcel_is_refused_and_what_was_pasted_stays(shelf):
    damaged = parcel_of(shelf).replace('"62 %"', '"61 %"')

    answer = httpx.post(
        shelf.address + "/receive",
        data={"parcel": damaged, "onto": CANAL},
        headers={"origin": shelf.address},
        timeout=30,
    )

    assert answer.status_code == 422
    assert "content and its seal do not agree" in answer.text
    assert "61 %" in answer.text


@pytest.mark.parametrize("form", [{}, {"parcel": "  "}])
def test_no_parcel_at_all_is_asked_for(shelf, form):
    answer = httpx.post(shelf.address + "/receive", data=form, headers={"origin": shelf.address}, timeout=30)

    assert answer.status_code == 422
    assert "paste what stands in it" in answer.text


def test_what_a_sender_wrote_is_text_and_nothing_else(shelf):
    asked = {"on": SHED, "sender": "<b>Ada</b>", "note": "</textarea><script>alert(1)</script>"}
    text = httpx.get(f"{shelf.address}/gyle/Orchard%20amber/parcel", params=asked, timeout=30).text

    answer = httpx.post(
        shelf.address + "/receive",
        data={"parcel": text, "onto": CANAL, "litres": "18 L"},
        headers={"origin": shelf.address},
        timeout=30,
    )

    assert answer.status_code == 200
    assert "<script>alert" not in answer.text
    assert "<b>Ada" not in answer.text


def test_a_book_without_a_brewery_says_so(empty_book, phone, faults):
    phone.goto(empty_book.address + "/receive")

    assert "This book has no brewery yet" in phone.inner_text("main")
    assert faults(phone) == []


def test_the_page_stays_small(shelf):
    page = httpx.get(shelf.address + AT, params={"on": SHED, "onto": CANAL}, timeout=30).text
    parts = [page] + [
        httpx.get(shelf.address + address, timeout=30).text
        for address in re.findall(r'(?:href|src)="(/static/[^"]+)"', page)
    ]

    assert sum(len(gzip.compress(part.encode())) for part in parts) < MOST_BYTES
