"""A brew is started, read into, corrected, mended and looked at again, on both kinds of book."""

from __future__ import annotations

import re
from uuid import uuid4

import pytest

from command_line import FEW, changed, cli, refusal
from gylebook.record.store import open_book
from gylebook.tasks.brew_outlook import SHOWN, fingerprint
from gylebook.tasks.brews import look_at_brew

NAME = "First amber"
VOLUME = ("preboil", "40.2 L", "--temperature", "72 °C", "--at", "2026-03-14T11:40+01:00")
GRAVITY = ("preboil", "12.7 °Bx", "--on", "refractometer", "--at", "2026-03-14T11:42+01:00")


@pytest.fixture
def brew(book, shed):
    """Calls a command on one brew that has just been started."""
    at = ("--at", "2026-03-14T08:00+01:00")
    started = cli("brew", "start", NAME, shed / "plan.toml", "--book", book, "--draws", 400, *at)
    assert (started.code, started.err) == (0, "")

    def call(deed, *args):
        answer = cli("brew", deed, "--book", book, *(() if deed == "start" else (NAME,)), *args)
        assert answer.err == ""
        return answer

    call.book = book
    return call


def shown_then(book):
    """Number of each event after which a forecast was shown, with that forecast's digest."""
    events = _all_events(book)
    return [(e.seq, e.body["sha256"]) for e in events if e.kind == SHOWN]


def _all_events(book):
    with open_book(book, read_only=True) as opened:
        return opened.events(opened.brew(NAME).id)


def middle(answer, name):
    return answer.json[name]["median"]


def test_the_unit_tells_what_was_read(brew):
    for value, quantity, step in (
        ("40.2 L", "volume", "preboil"),
        ("10.6 gal", "volume", "preboil"),
        ("66 °C", "temperature", "mash"),
        ("149 °F", "temperature", "mash"),
        ("13.7 kg", "mass", "lift"),
        ("pH 5.4", "ph", "mash"),
        ("32 min", "time", "heat to boil"),
        ("21 bottles", "count", "portion.bottles package"),
    ):
        way = ("--meter", "cooled") if quantity == "ph" else ()
        assert brew("read", step, value, *way, "--json").json["event"]["kind"] == "reading"
        newest = brew("show", "--json").json["about"]["events"][-1]
        assert (newest["body"]["quantity"], newest["body"]["step"]) == (quantity, step)


def test_a_reading_narrows_what_it_speaks_of_and_shows_before_and_after(brew):
    changes = brew("read", *VOLUME, "--json").json["changes"]
    change = changes["fermenters.volume_l"]
    assert change["after"]["sd"] < change["before"]["sd"]
    told = brew("read", *GRAVITY).out
    assert "Before → after" in told
    assert "12.7 °Bx" in told
    assert "12.7 °Bx on the refractometer" in " ".join(brew("show").out.split())


def test_the_scale_of_a_gravity_tells_its_instrument(brew):
    brew("read", "preboil", "12.7 °Bx")
    brew("read", "preboil", "1.051")
    events = brew("show", "--json").json["about"]["events"]
    assert [event["body"]["instrument"] for event in events] == ["refractometer", "hydrometer"]


def test_a_reading_sent_twice_is_kept_once_and_answered_alike(brew):
    id_ = uuid4()
    first = brew("read", *VOLUME, "--id", id_, "--json")
    before = _all_events(brew.book)
    again = brew("read", *VOLUME, "--id", id_, "--json")
    assert again == first
    assert _all_events(brew.book) == before
    # Another reading in between changes nothing of that.
    brew("read", *GRAVITY)
    assert brew("read", *VOLUME, "--id", id_, "--json") == first


def test_an_id_used_for_something_else_is_refused(brew):
    id_ = uuid4()
    brew("read", *VOLUME, "--id", id_)
    told = refusal("brew", "read", NAME, *GRAVITY, "--id", id_, "--book", brew.book)
    assert "other content" in told


def test_a_corrected_reading_counts_in_place_of_the_first(brew):
    planned = brew("show", "--json")
    wrong = brew("read", "preboil", "39.2 L", *VOLUME[2:], "--json").json["event"]["number"]
    slip = brew("show", "--json")
    assert middle(slip, "fermenters.volume_l") < middle(planned, "fermenters.volume_l") - 1
    brew("read", *VOLUME, "--corrects", wrong, "--reason", "misread by one")
    corrected = brew("show", "--json")
    readings = [e for e in corrected.json["about"]["events"] if e["kind"] == "reading"]
    assert [reading["body"]["value"] for reading in readings] == [40.2]
    assert middle(corrected, "fermenters.volume_l") > middle(slip, "fermenters.volume_l") + 0.5
    # What was corrected cannot be corrected again, nor can what was never read.
    args = ("brew", "read", NAME, *VOLUME, "--book", brew.book)
    twice = refusal(*args, "--corrects", wrong)
    assert f"event {wrong}; was superseded already, by event {wrong + 2} (reading)" in twice
    assert "are numbered" in refusal(*args, "--corrects", 999)


def test_a_correction_is_of_what_was_read_and_of_nothing_else(brew):
    number = brew("read", *VOLUME, "--json").json["event"]["number"]
    before = _all_events(brew.book)
    for other in (("boil end", "39 L"), ("preboil", "1.050")):
        told = refusal("brew", "read", NAME, *other, "--book", brew.book, "--corrects", number)
        assert f"number {number} was the volume at preboil, 40.2 L; correct it with a volume" in told
    assert _all_events(brew.book) == before


def test_a_reading_that_nothing_can_explain_is_told_and_moves_no_forecast(brew):
    planned = brew("show", "--json")
    told = " ".join(brew("read", "lift", "28 lb").out.split())
    assert "check it" not in told
    slip = brew("read", "lift", "28 kg", "--corrects", 2)
    told = " ".join(slip.out.split())
    assert re.search(
        r"lift, mass 28\.0 kg: ▲ [0-9.]+ sd from the rest, which says 12\.[0-9]+ kg: check it", told
    )
    assert (
        "It is left out of the forecast. Was it read in pounds? Then it is 12.7 kg, which would fit." in told
    )
    for name in ("fermenters.volume_l", "og"):
        assert middle(brew("show", "--json"), name) == pytest.approx(middle(planned, name), rel=0.005)


def test_a_level_above_the_top_mark_is_a_reading_too(brew):
    planned = brew("show", "--json")
    told = brew("read", "preboil", "above 41 L", *VOLUME[2:])
    assert "volume above 41.0 L" in told.out
    seen = brew("show", "--json")
    assert middle(seen, "kettle.preboil.volume_l") > middle(planned, "kettle.preboil.volume_l")
    (event,) = [e for e in seen.json["about"]["events"] if e["kind"] == "reading"]
    assert event["body"]["beyond"] == "above"
    assert "preboil: volume above 41.0 L on the dipstick" in brew("show").out


def test_every_answer_to_a_reading_says_how_it_was_reached(brew):
    about = brew("read", *VOLUME, "--json").json["about"]["readings"]
    assert about["method"] == "importance"
    assert about["converged"] is True
    assert about["in_words"].startswith("The forecast given these readings is worth")
    assert about["misfits"][0]["in_words"] == "agrees"
    assert brew("show", "--json").json["about"]["readings"] == about


def test_a_withdrawn_reading_counts_no_more(brew):
    planned = brew("show", "--json")
    number = brew("read", *VOLUME, "--json").json["event"]["number"]
    assert brew("show", "--json").out != planned.out
    brew("withdraw", number, "--reason", "the dipstick was off")
    after = brew("show", "--json").json
    before = planned.json
    assert after.pop("about")["events"] == before.pop("about")["events"] == []
    assert after == before


def test_an_adopted_remedy_changes_the_plan_and_is_conditioned_on(brew):
    brew("read", *GRAVITY)
    listed = brew("remedies", "--json").json["remedies"]
    assert listed[0]["deed"] in ("add extract", "add sugar")
    planned = 1.052
    low = middle(brew("show", "--json"), "og")
    adopted = brew("adopt", 1, "--json").json
    raised = adopted["changes"]["og"]["after"]["median"]
    assert abs(raised - planned) < abs(low - planned)
    assert middle(brew("show", "--json"), "og") == raised
    # What was wanted has not changed, so nothing is left to be done about gravity.
    left = brew("remedies", "--json").json["remedies"]
    assert left[0]["loss"] < listed[-1]["loss"]
    assert middle(brew("show", "--json"), "og") == pytest.approx(planned, abs=0.0015)
    change = brew("read", "boil end", "1.0525", "--on", "hydrometer", "--json").json["changes"]["og"]
    assert change["after"]["sd"] < change["before"]["sd"]


def test_a_reading_taken_before_a_remedy_is_not_read_as_taken_after_it(brew):
    # Three litres too little at the end of the boil: liquor goes in, and the reading stays what it was.
    brew("read", "boil end", "1.057", "--on", "hydrometer")
    brew("read", "boil end", "38.6 L", "--temperature", "98 °C")
    listed = brew("remedies", "--json").json["remedies"]
    number, liquor = next((n, r) for n, r in enumerate(listed, 1) if r["deed"] == "add liquor")
    assert liquor["amount"] > 1
    change = brew("adopt", number, "--json").json["changes"]["fermenters.volume_l"]
    added = change["after"]["median"] - change["before"]["median"]
    # All of it but the few per cent that stay in the kettle reach the fermenters.
    assert added == pytest.approx(liquor["amount"], rel=0.1)


def test_what_was_shown_at_any_moment_can_be_shown_again(brew):
    brew("read", *VOLUME)
    brew("read", *GRAVITY)
    brew("adopt", 1)
    brew("read", "boil end", "1.053", "--on", "hydrometer")
    shown = shown_then(brew.book)
    assert len(shown) == 5
    assert len({digest for _, digest in shown}) == 5
    for number, digest in shown:
        again = look_at_brew(brew.book, NAME, up_to=number)
        assert fingerprint(again.outlook)["sha256"] == digest
    earlier = [brew("show", "--up-to", number, "--json").out for number, _ in shown]
    brew("read", "fermenters", "35 L")
    assert [brew("show", "--up-to", number, "--json").out for number, _ in shown] == earlier


def test_a_moment_that_never_was_cannot_be_shown(brew):
    for number in ("0", "99", "-3"):
        args = ("brew", "show", NAME, "--book", brew.book, f"--up-to={number}")
        assert "have numbers 1 to 1" in refusal(*args)


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (("read", "preboil", "40 L", "--at", "yesterday"), "write it like 14:07"),
        (("read", "preboil", "40"), "write the unit with it"),
        (("read", "preboil", "4,000 L"), "which?"),
        (("read", "prebil", "40 L"), "perhaps “preboil” is meant"),
        (("read", "preboil", "1.050", "--on", "sextant"), "“sextant”"),
        (("read", "preboil", "40 L", "--on", "scale"), "dipstick"),
        (("read", "--", "preboil", "-4 L"), "-4"),
        (("read", "preboil", "40 L", "--temperature", "72 kg"), "72 kg"),
        (("read", "lift", "5 kW"), "power"),
        (("read", "mash", "pH 13.5"), "must be from 4 to 7.5 pH"),
        (("adopt", "99"), "there are remedies 1 to "),
        (("adopt", "0"), "there are remedies 1 to "),
        (("withdraw", "99", "--reason", "why not"), "99"),
    ],
    ids=str,
)
def test_what_cannot_be_written_down_is_refused_and_nothing_is_written(brew, args, told):
    before = _all_events(brew.book)
    deed, *rest = args
    assert told in refusal("brew", deed, "--book", brew.book, NAME, *rest)
    assert _all_events(brew.book) == before


def test_a_book_lists_what_is_in_it(brew, shed):
    listed = cli("book", "show", "--book", brew.book, "--json").json
    assert [b["name"] for b in listed["brews"]] == [NAME]
    assert [(p["name"], p["version"]) for p in listed["plans"]] == [
        ("Orchard amber", 1),
        ("Orchard amber", 2),
    ]
    assert NAME in cli("book", "show", "--book", brew.book).out


def test_a_start_under_a_name_that_is_taken_leaves_nothing_in_the_book(brew, shed):
    before = cli("book", "show", "--book", brew.book, "--json").out
    changed(shed / "plan.toml", ('name = "Orchard amber"', 'name = "Orchard pale"'))
    changed(shed / "brewery.toml", ("name = ", "# moved\nname = "))
    told = refusal("brew", "start", NAME, shed / "plan.toml", "--book", brew.book, *FEW)
    assert "is taken by another brew" in told
    assert cli("book", "show", "--book", brew.book, "--json").out == before


def test_a_brew_that_is_not_there_is_refused_with_those_that_are(brew):
    assert f"it holds {NAME}" in refusal("brew", "show", "Second", "--book", brew.book)


def test_a_book_cannot_be_made_twice(book):
    assert cli("book", "new", "--book", book).code == 2
