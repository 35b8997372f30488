"""What a program may ask of a book, and what it is told: each answer against the task behind it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

import httpx
import pytest

from gylebook.tasks.brews import look_at_brew

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
TRIO = EXAMPLE.parent / "garden-trio"
PLAN, BREWERY = (EXAMPLE / "plan.toml").read_text(), (EXAMPLE / "brewery.toml").read_text()
FEW = {"draws": 200}
BREW = "/api/brews/Spring%20amber"


@pytest.fixture
def ask(empty_book) -> Iterator[httpx.Client]:
    """A program on the machine that serves an empty book."""
    with httpx.Client(base_url=empty_book.address, timeout=60) as client:
        yield client


@pytest.fixture
def location(empty_book) -> str:
    return empty_book.location


@pytest.fixture
def brewing(ask) -> httpx.Client:
    """The same with a brew started from what the book holds."""
    assert ask.post("/api/plans", json={"text": PLAN}).status_code == 201
    assert ask.post("/api/breweries", json={"text": BREWERY}).status_code == 201
    sent = {"name": "Spring amber", "plan": "Orchard amber", "brewery": brewery_name(ask), **FEW}
    assert ask.post("/api/brews", json={**sent, "at": "2026-03-14T09:00+01:00"}).status_code == 201
    return ask


def brewery_name(ask) -> str:
    return ask.get("/api/breweries").json()[0]["name"]


def reading(ask, step: str, value: str, **more: object) -> object:
    return ask.post(f"{BREW}/readings", json={"step": step, "value": value, **more})


def test_a_text_is_kept_as_the_next_version_and_read_again_as_it_was_typed(ask):
    changed = PLAN.replace("34 L", "30 L")

    versions = [
        ask.post("/api/plans", json={"text": text}).json()["version"] for text in (PLAN, PLAN, changed)
    ]

    assert versions == [1, 1, 2]
    assert ask.get("/api/plans/Orchard%20amber").json()["text"] == changed
    assert ask.get("/api/plans/Orchard%20amber?version=1").json()["text"] == PLAN
    assert ask.get("/api/plans/Orchard%20amber?version=3").status_code == 404


def test_a_version_must_bear_the_name_of_its_plan(ask):
    ask.post("/api/plans", json={"text": PLAN})

    other = ask.post("/api/plans/Orchard%20amber", json={"text": PLAN.replace("Orchard amber", "Other")})

    assert other.status_code == 422
    assert other.json()["problems"][0]["understood"] == "“Other”"
    assert len(ask.get("/api/plans").json()) == 1


def test_a_plan_that_is_wrong_is_refused_with_its_line_and_not_kept(ask):
    answer = ask.post("/api/plans", json={"text": PLAN.replace('"34 L"', '"34 parsecs"')})

    assert answer.status_code == 422
    assert "34 parsecs" in answer.json()["problems"][0]["understood"] + answer.json()["error"]
    assert ask.get("/api/plans").json() == []


def test_a_forecast_of_texts_keeps_nothing_and_is_the_one_of_the_command_line(ask, location):
    told = ask.post("/api/forecast", json={"plan": PLAN, "brewery": BREWERY, **FEW}).json()

    assert told["numbers"]["og"]["median"] == pytest.approx(1.052, abs=0.002)
    assert {limit["name"] for limit in told["limits"]} >= {"foam room", "bag weight"}
    assert told["about"]["draws"] == 200
    assert ask.get("/api/book").json()["plans"] == []


def test_what_is_solved_comes_as_a_plan_that_can_be_kept(ask):
    solved = ask.post("/api/solve", json={"plan": PLAN, "brewery": BREWERY, **FEW}).json()

    assert solved["amounts"]["grist"][0]["mass_kg"] > 1.0
    assert ask.post("/api/plans", json={"text": solved["text"]}).status_code == 201


def test_a_wish_is_divided_and_each_solution_is_a_plan_that_can_be_kept(ask):
    wish, shed = ((TRIO / f"{name}.toml").read_text(encoding="utf-8") for name in ("wish", "brewery"))

    told = ask.post("/api/divide", json={"wish": wish, "brewery": shed}).json()

    assert told["solutions"][0]["served"]
    assert told["conflicts"] == told["unmade"] == []
    assert len(told["plans"]) == len(told["solutions"]) > 1
    assert ask.post("/api/plans", json={"text": told["plans"][1]}).status_code == 201
    larder = (TRIO / "larder.toml").read_text(encoding="utf-8")
    bought = ask.post(
        "/api/larder", json={"plan": told["plans"][0], "brewery": shed, "larder": larder, **FEW}
    )
    assert bought.json()["cost"] > 10.0
    assert ask.post("/api/divide", json={"wish": "name = 3", "brewery": shed}).status_code == 422


def test_what_a_wort_becomes_and_what_fills_the_vessels_are_told(ask):
    sent = {"plan": PLAN, "brewery": BREWERY, **FEW}

    assert len(ask.post("/api/becomes", json={**sent, "most": 3}).json()["becomes"]) == 3
    assert ask.post("/api/becomes", json={**sent, "portion": "none"}).status_code == 422
    sets = ask.post("/api/fillings", json={"brewery": BREWERY, "bottle_l": 0.5}).json()["sets"]
    assert sets[0]["orphan_l"] == 0.0
    assert ask.post("/api/fillings", json={"brewery": BREWERY}).status_code == 422


def test_limits_and_order_of_texts_are_told(ask):
    sent = {"plan": PLAN, "brewery": BREWERY, **FEW}

    assert ask.post("/api/limits", json=sent).json()["boundary"]["volume_l"] > 0
    steps = ask.post("/api/order", json=sent).json()["steps"]
    assert [step["key"] for step in steps].index("mash in") < [step["key"] for step in steps].index("pitch")


def test_a_reading_moves_the_forecast_and_is_stored_once_however_often_it_is_sent(brewing, location):
    before = brewing.get(BREW).json()
    sent = {"id": str(uuid4()), "at": "2026-03-14T12:00+01:00"}

    first = reading(brewing, "preboil", "38 L", **sent)
    again = reading(brewing, "preboil", "38 L", **sent)

    assert (first.status_code, again.status_code) == (201, 201)
    assert first.json()["event"] == again.json()["event"]
    after = brewing.get(BREW).json()
    assert [event["kind"] for event in after["events"]] == ["reading"]
    name = "kettle.preboil.volume_l"
    assert after["numbers"][name]["sd"] < before["numbers"][name]["sd"]
    assert (
        after["numbers"][name]["median"]
        == look_at_brew(location, "Spring amber").outlook.numbers[name].median
    )
    assert brewing.get(f"{BREW}/readings").json()["readings"]["misfits"][0]["in_words"]


def test_an_id_names_one_reading_for_ever(brewing):
    sent = {"id": str(uuid4()), "at": "2026-03-14T12:00+01:00"}
    reading(brewing, "preboil", "38 L", **sent)

    other = reading(brewing, "preboil", "39 L", **sent)

    assert other.status_code == 409
    assert "other content" in other.json()["error"]


def test_a_brew_is_looked_at_as_it_stood_after_any_event(brewing):
    before = brewing.get(f"{BREW}/numbers").json()
    first = brewing.get("/api/book").json()["newest_event"]
    reading(brewing, "preboil", "38 L")

    assert brewing.get(f"{BREW}/numbers").json() != before
    assert brewing.get(f"{BREW}/numbers?up_to={first}").json() == before
    assert brewing.get(f"{BREW}?up_to=9999").status_code == 422


def test_a_reading_is_corrected_and_withdrawn_by_its_number(brewing):
    number = reading(brewing, "preboil", "30 L").json()["event"]["number"]

    corrected = reading(brewing, "preboil", "40 L", corrects=number, reason="misread").json()["event"][
        "number"
    ]
    withdrawn = brewing.post(f"{BREW}/readings/{corrected}/withdraw", json={"reason": "wrong pot"})

    assert withdrawn.status_code == 201
    assert brewing.get(f"{BREW}/events").json() == []
    again = brewing.post(f"{BREW}/readings/{corrected}/withdraw", json={"reason": "twice"})
    assert again.status_code == 409
    assert brewing.post(f"{BREW}/readings/999/withdraw", json={"reason": "none"}).status_code == 404


def test_a_remedy_is_adopted_and_the_plan_is_another_from_then_on(brewing):
    reading(brewing, "preboil", "37 L")
    deeds = [remedy["deed"] for remedy in brewing.get(f"{BREW}/remedies").json()["remedies"]]
    number = next(n for n, deed in enumerate(deeds, 1) if deed != "leave it")

    adopted = brewing.post(f"{BREW}/adopt", json={"remedy": number})

    assert adopted.json()["event"]["kind"] == "plan changed"
    assert brewing.post(f"{BREW}/adopt", json={"remedy": 999}).status_code == 422


def test_a_name_that_is_taken_clashes(brewing):
    sent = {"name": "Spring amber", "plan": "Orchard amber", "brewery": brewery_name(brewing), **FEW}

    answer = brewing.post("/api/brews", json=sent)

    assert answer.status_code == 409
    assert answer.json()["problems"][0]["where"] == "name"


def test_what_the_book_does_not_hold_is_not_there(ask):
    for address in ("/api/brews/none", "/api/plans/none", "/api/breweries/none", "/api/nothing"):
        answer = ask.get(address)
        assert (answer.status_code, list(answer.json())) == (404, ["error", "problems"])


def test_all_that_is_wrong_with_a_request_is_told_at_once(ask):
    answer = ask.post("/api/forecast", json={"plan": PLAN, "draws": 10, "sneed": 1})

    assert answer.status_code == 422
    assert {one["where"] for one in answer.json()["problems"]} == {"body.brewery", "body.draws", "body.sneed"}


def test_a_reading_in_no_known_unit_says_what_was_understood(brewing):
    answer = reading(brewing, "preboil", "38 hogsheads")

    assert answer.status_code == 422
    assert "38 hogsheads" in answer.json()["error"]


def test_a_fermentation_wants_its_pitching_then_shows_its_curve(brewing):
    address = f"{BREW}/portions/keg"
    assert brewing.get(f"{address}/ferment").status_code == 422

    kept = brewing.post(f"{address}/pitched", json={"at": "2026-03-14T16:00+01:00"})
    reading(brewing, "portion.keg ferment", "1.020", at="2026-03-18T16:00+01:00")

    assert kept.json()["kind"] == "pitched"
    told = brewing.get(f"{address}/ferment").json()
    assert told["pitched"] == "2026-03-14T16:00+01:00"
    assert told["taken"][0]["hours"] == pytest.approx(96.0)
    assert sum(told["odds"].values()) == pytest.approx(1.0)
    assert brewing.get(f"{BREW}/portions/none/ferment").status_code == 404


def test_a_moment_that_no_book_can_speak_of_is_refused(brewing):
    for at in ("0001-01-01T00:00", "9999-12-31T23:59+01:00", "yesterday"):
        assert reading(brewing, "preboil", "38 L", at=at).status_code == 422


def test_an_address_tells_itself_to_programs(ask):
    told = ask.get("/api/openapi.json").json()

    assert told["openapi"].startswith("3.")
    assert "/api/brews/{brew}/readings" in told["paths"]
    assert all("summary" in way for ways in told["paths"].values() for way in ways.values())
