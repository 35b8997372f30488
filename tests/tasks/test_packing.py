"""No sugar leaves a refused packing, nothing is written down against the odds without a reason."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from gylebook.errors import Refused
from gylebook.faces.sheets.pack import label_sheet, priming_sheet
from gylebook.tasks.brews import look_at_brew, make_book, start_brew, take_reading
from gylebook.tasks.cellar import portions_in
from gylebook.tasks.labels import label_view
from gylebook.tasks.own_tables import tables_of, take_in_table
from gylebook.tasks.pack_views import BottlesWanted, PackWanted
from gylebook.tasks.packing import pack_view, write_packed
from gylebook.tasks.typed import reading_typed

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
BREW, NOW = "Orchard", "2026-04-11T12:00+02:00"
FILLED = datetime.fromisoformat("2026-03-14T16:00+01:00")
SAFE = PackWanted(bottles=(BottlesWanted(kind="beer bottle"),), volumes=2.0, store_c=18.0)
LIVELY = replace(SAFE, volumes=3.2, store_c=25.0)


def read(location, step, value, at):
    outlook = look_at_brew(location, BREW).outlook
    take_reading(location, BREW, reading_typed(outlook, step, value, None, None, at))


def brewed(tmp_path, *gravities, key="bottles"):
    location = str(tmp_path / "book.gyle")
    make_book(location)
    files = EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml"
    start_brew(location, BREW, *files, "2026-03-14T09:00+01:00", draws=1000)
    read(location, "fermenters", "33 L", FILLED.isoformat())
    for day, value in gravities:
        read(location, f"portion.{key} ferment", value, (FILLED + timedelta(days=day)).isoformat())
    return location


def viewed(location, wanted, key="bottles"):
    return pack_view(look_at_brew(location, BREW), key, wanted, tables_of(location), NOW)


def written(location, wanted):
    standing = look_at_brew(location, BREW)
    return write_packed(location, standing, "bottles", wanted, tables_of(location), NOW)


@pytest.fixture
def finished(tmp_path):
    """A portion whose gravity stood still for longer than its yeast asks."""
    return brewed(tmp_path, (5, "1.016"), (9, "1.012"), (14, "1.012"), (20, "1.012"))


def test_a_finished_beer_is_primed_packed_and_labelled(finished):
    view = viewed(finished, SAFE)

    assert (view.refused, view.against, view.held) == (False, "", True)
    assert view.bulk > 20.0
    assert view.lots[0].count * 0.5 + view.left_l + view.lost_l == pytest.approx(view.litres.median)
    assert priming_sheet(view).startswith(b"%PDF")
    with pytest.raises(Refused, match="write down first"):
        label_view(look_at_brew(finished, BREW), "bottles")

    first, second = written(finished, SAFE), written(finished, replace(SAFE, volumes=1.9))

    assert second.supersedes == first.id
    standing = look_at_brew(finished, BREW)
    (portion,) = [one for one in portions_in(standing) if one.key == "bottles"]
    assert (portion.packed_at, portion.labelled) == (NOW, True)
    label = label_view(standing, "bottles")
    assert (label.volumes, label.best_from, label.count) == (1.9, "2026-05-02", view.lots[0].count)
    assert label.abv.low < label.abv.median < label.abv.high
    assert label_sheet(label).startswith(b"%PDF")


@pytest.mark.parametrize("reason", ["", "because", "  a  "])
def test_against_the_odds_nothing_is_told_printed_or_written(finished, reason):
    wanted = replace(LIVELY, reason=reason)
    view = viewed(finished, wanted)

    assert view.refused
    assert view.odds > 0.05
    assert view.why == "too much gas"
    assert view.bulk is None
    assert [lot.sugar_each for lot in view.lots] == [None]
    assert {way.deed for way in view.ways_out} >= {"less sugar", "stronger bottles", "keg"}
    with pytest.raises(Refused, match="do this instead: Less sugar"):
        priming_sheet(view)
    with pytest.raises(Refused, match="why it was packed against the odds"):
        written(finished, wanted)
    assert all(event.kind != "packed" for event in look_at_brew(finished, BREW).events)


def test_a_typed_reason_is_kept_beside_the_odds(finished):
    reason = "drunk cold within the week"
    event = written(finished, replace(LIVELY, reason=reason))

    assert event.reason == event.body["against"] == reason
    assert event.body["odds"] > event.body["accepted"] == 1e-3
    assert event.body["sugar"]["bulk"] > 0
    assert label_view(look_at_brew(finished, BREW), "bottles").against == reason


def test_a_reason_where_none_is_needed_is_not_kept(finished):
    assert written(finished, replace(SAFE, reason="because I like it so")).body["against"] == ""


@pytest.mark.parametrize("accepted", [0.5, 1.1e-3, 0.0])
def test_the_accepted_odds_may_be_lowered_and_not_raised(finished, accepted):
    with pytest.raises(Refused, match=r"accepted odds.*not raised"):
        viewed(finished, replace(SAFE, accepted=accepted))


def test_odds_rarer_than_the_draws_can_tell_are_not_accepted(finished):
    with pytest.raises(Refused, match="1000 draws, which tell nothing rarer than 1 in 1000"):
        viewed(finished, replace(SAFE, accepted=1 / 2000))


def test_beer_whose_gravity_nobody_read_is_not_packed(tmp_path):
    with pytest.raises(Refused, match="read its gravity first"):
        viewed(brewed(tmp_path), SAFE)


def test_beer_that_still_falls_is_to_be_waited_for(tmp_path):
    view = viewed(brewed(tmp_path, (3, "1.036"), (5, "1.020")), SAFE)

    assert view.refused
    assert view.why == "not still"
    assert view.ways_out[0].deed == "wait"
    assert view.ways_out[0].amount > 1.0
    assert all(way.deed != "cooler store" for way in view.ways_out)


def test_a_stuck_beer_is_refused_and_not_sent_to_wait(tmp_path):
    view = viewed(brewed(tmp_path, (4, "1.034"), (9, "1.031"), (14, "1.031")), SAFE)

    assert view.refused
    assert view.why == "stuck"
    assert all(way.deed != "wait" for way in view.ways_out)


def test_brettanomyces_is_not_bottled_after_three_still_days(tmp_path):
    location = brewed(tmp_path, (24, "1.012"), (27, "1.012"), key="long")
    view = viewed(location, replace(SAFE, litres=9.0), key="long")

    assert view.refused
    assert view.why == "alive"
    assert view.odds > 0.3
    assert view.ways_out[0].amount > 30.0
    assert "live in glass" in view.cautions


def test_the_brewers_own_bottles_count(finished, tmp_path):
    own = tmp_path / "mine.csv"
    own.write_text(
        "key,name,also,size_l,limit_bar,proof_bar,head_space_pct,note,source\n"
        "beer-bottle,beer bottle,,0.5,2.0,,4,,my glassworks\n"
    )
    take_in_table(finished, "bottles", own)

    assert viewed(finished, SAFE).lots[0].limit_bar == 2.0
    assert viewed(finished, SAFE).refused


def test_litres_that_cannot_be_are_doubted_and_old_beer_gets_yeast(finished):
    from gylebook.faces import pack_words

    usual, twice = viewed(finished, SAFE), viewed(finished, replace(SAFE, litres=19.0))
    old = pack_view(
        look_at_brew(finished, BREW), "bottles", SAFE, tables_of(finished), "2026-09-11T12:00+02:00"
    )

    assert (pack_words.litres_sentence(usual), pack_words.yeast_sentence(usual)) == ("", "")
    assert pack_words.litres_sentence(twice).startswith("▲ 19.0 L were read, where 9.")
    assert old.yeast_billion == pytest.approx((0.5 * old.bottles * 0.5, 0.5 * old.bottles))
    assert "of fresh yeast" in pack_words.yeast_sentence(old)
    assert old.residual_volumes < usual.residual_volumes


def test_a_proof_is_never_taken_for_a_limit(finished, tmp_path):
    own = tmp_path / "mine.csv"
    own.write_text(
        "key,name,also,size_l,limit_bar,proof_bar,head_space_pct,note,source\n"
        "mine,my bottle,,0.5,12,12,4,,a test of a minute\n"
    )
    with pytest.raises(Refused, match=r"at most 0\.44 of it: 5\.3 here"):
        take_in_table(finished, "bottles", own)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"volumes": 9.0}, "volumes: 9"),
        ({"store_c": 60.0}, "store: 60"),
        ({"scale_g": 0.0}, "scale"),
        ({"bottles": (BottlesWanted(kind="bottel"),)}, "known kinds are"),
        ({"bottles": (BottlesWanted(kind="beer bottle", count=0),)}, "from 1 to 2000"),
        ({"kegs": (0.2,)}, "a keg holds"),
    ],
)
def test_what_cannot_be_is_refused_in_words(finished, changed, said):
    with pytest.raises(Refused, match=said):
        viewed(finished, replace(SAFE, **changed))
