"""A blind test from the first question to its result, on the command line."""

from __future__ import annotations

import re

import pytest

from command_line import FEW, cli, refusal
from gylebook.record.store import open_book

BREW = "amber"


@pytest.fixture
def on(book, shed):
    """--book with a brew of three portions in it."""
    cli("brew", "start", "--book", book, BREW, shed / "plan.toml", *FEW, "--at", "2026-03-14T09:00+01:00")
    return ("--book", book)


def number_of(answer) -> str:
    return re.match(r"tasting (\d+):", answer.out)[1]


def words_of(answer) -> str:
    return " ".join(answer.out.split())


def test_few_tasters_are_told_beforehand_what_they_would_miss():
    told = words_of(cli("taste", "panel", "6"))

    assert (
        "With six tasters a tetrad, tasted once, would notice even a large difference only 60 in 100" in told
    )
    assert "Have each taste" in told
    assert "more than 120 for a small one" in told


def test_the_same_in_json_in_base_units():
    told = cli("taste", "panel", "8", "--trait", "sourness", "--json").json

    assert {offer["kind"] for offer in told["offers"]} == {"paired"}
    assert told["needed"]["paired"] == {"small": 26, "middling": 13, "large": 8}


def test_three_tasters_of_a_pair_left_open_can_show_nothing():
    assert "can show nothing" in words_of(cli("taste", "panel", "3", "--trait", "body", "--open-end"))


def test_from_set_up_to_result_the_key_stays_hidden_until_it_is_asked_for(on, tmp_path):
    made = cli(
        "taste", "set-up", *on, BREW, "keg", "bottles",
        "--by", "triangle", "--tasters", "3", "--seed", "3", "-o", tmp_path / "sheet.pdf",
    )  # fmt: skip
    number = number_of(made)
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
    assert "▲ This is alcohol" in made.out
    assert not re.search(r"\b\d{3} (Gate|Hedge)", made.out)
    hidden = cli("taste", "result", *on, number, "--json").json
    shown = cli("taste", "result", *on, number, "--json", "--key").json
    assert all(one["beers"] is None for one in hidden["sets"])
    assert "seed" not in hidden

    early = None
    for one in shown["sets"]:
        odd = next(
            c for c, beer in zip(one["codes"], one["beers"], strict=True) if one["beers"].count(beer) == 1
        )
        assert cli("taste", "answer", *on, number, odd, "--who", "Ada", "--sure", "2").code == 0
        early = early or words_of(cli("taste", "result", *on, number))

    assert "The result is told when all are in" in early
    assert "picked the odd one" not in early
    told = words_of(cli("taste", "result", *on, number))
    # All of three right: 1/27.
    assert (
        "3 of 3 picked the odd one; by luck alone 1 would. So many or more by luck: 37 times in 1,000" in told
    )
    assert "Distance d′ at least" in told
    assert cli("taste", "result", *on, number, "--json").json["result"]["luck"] == pytest.approx(1 / 27)


def test_an_early_count_says_that_it_is_one(on):
    number = number_of(cli("taste", "set-up", *on, BREW, "keg", "long", "--tasters", "6"))
    first = cli("taste", "result", *on, number, "--json").json["sets"][0]
    cli("taste", "answer", *on, number, *first["codes"][:2])

    told = words_of(cli("taste", "result", *on, number, "--early"))

    assert "▲ 5 of 6 sets are unanswered" in told


def test_what_is_no_answer_is_refused_and_nothing_is_kept(on):
    number = number_of(cli("taste", "set-up", *on, BREW, "keg", "long", "--by", "paired", "--tasters", "4"))
    one = cli("taste", "result", *on, number, "--json").json["sets"][0]

    assert "is on no glass of this test" in refusal("taste", "answer", *on, number, "100")
    assert "2 codes" in refusal("taste", "answer", *on, number, *one["codes"])
    cli("taste", "answer", *on, number, one["codes"][0])
    assert "answered that set already" in refusal("taste", "answer", *on, number, one["codes"][1])
    assert "must be 1 to 60" in refusal("taste", "set-up", *on, BREW, "keg", "long", "--tasters", "61")
    assert "is one of keg, long" in refusal(
        "taste", "set-up", *on, BREW, "keg", "long", "--by", "paired", "--tasters", "4",
        "--trait", "body", "--more", "bottles",
    )  # fmt: skip
    assert "it holds" in refusal("taste", "result", *on, "99999")
    assert cli("taste", "result", *on, number, "--json").json["missing"] == 3


def test_a_test_set_up_wrongly_is_called_off_and_stays_in_the_book(on):
    number = number_of(cli("taste", "set-up", *on, BREW, "keg", "long", "--tasters", "4"))

    assert cli("taste", "call-off", *on, number, "--reason", "wrong keg").code == 0

    assert "No tasting was set up" in cli("taste", "list", *on).out
    assert "it holds none yet" in refusal("taste", "call-off", *on, number)
    with open_book(on[1]) as kept:
        events = kept.events_of("tasting set up")
    assert [event.kind for event in events] == ["tasting set up", "withdrawn"]
    assert events[-1].reason == "wrong keg"


def test_a_pair_with_a_foretold_beer_and_another_brew(on, shed):
    cli("brew", "start", *on, "second", shed / "plan.toml", *FEW, "--at", "2026-04-14T09:00+02:00")

    made = cli(
        "taste", "set-up", *on, BREW, "keg", "--against", "second", "bottles",
        "--by", "paired", "--trait", "sourness", "--more", "bottles", "--tasters", "8", "--json",
    )  # fmt: skip

    assert [beer["brew"] for beer in made.json["poured"]] == [BREW, "second"]
    assert made.json["foretold"] == 1
    listed = cli("taste", "list", *on).out
    assert "Gate amber (amber) or Hedge amber (second): pair, sourness. 0 of 8 answers are in." in listed


def test_notes_are_written_read_and_refused(on):
    written = words_of(
        cli("taste", "note", *on, BREW, "keg", "Bread crust, short", "--trait", "bitterness", "2",
            "--off", "diacetyl", "--who", "Ada")
    )  # fmt: skip
    assert "Ada" in written
    assert "Bread crust, short Bitterness clear. Off-flavours: diacetyl (butter" in written

    notes = cli("taste", "note", *on, BREW, "keg", "--json").json["notes"]
    assert [note["traits"] for note in notes] == [{"bitterness": 2}]
    assert "known are" in refusal("taste", "note", *on, BREW, "keg", "--off", "nasty")
    assert "is one of 0 none" in refusal("taste", "note", *on, BREW, "keg", "--trait", "body", "much")
