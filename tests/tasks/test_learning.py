"""A book teaches what its house is like: gear, size and slips of the pen included."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.brewery.instruments import Reading
from gylebook.errors import Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.gyle.belonging import belongings
from gylebook.record.events import READING
from gylebook.record.replay import reading_body
from gylebook.record.store import new_book, open_book
from gylebook.tasks.backtest import backtest
from gylebook.tasks.keep_learned import keep_learned, learned_text
from gylebook.tasks.learned_view import LearnedView, LevelView, learned_view
from gylebook.tasks.learning import learn_from_book, learned_from
from simulated_houses import SHED, Day, House, amber, brewed, changed, days, house_of, nouns, write_book

LARGER = changed(
    SHED,
    ('capacity = "50 L"', 'capacity = "80 L"'),
    ('diameter = "40 cm"', 'diameter = "50 cm"'),
    ('power = "3.5 kW"', 'power = "5.5 kW"'),
)


def level(view: LearnedView, family: str, gear: str = "") -> LevelView:
    """The one level of a family, with such gear where there is more than one."""
    (found,) = [one for one in view.levels if one.family == family and gear in one.gear]
    return found


def typical(on: list[Day], **wanted: float) -> House:
    """A house like any other but for these levels, in published spreads; dots written as __."""
    house = house_of(on, np.random.default_rng(1))
    house.at[:] = 0.0
    house.logs[-1] = np.log(1e6)  # it stays as it is
    for name, value in wanted.items():
        for key, state in house.states.levels.items():
            if key[0] == name.replace("__", "."):
                house.at[state] = value
    return house


def learned(on: list[Day], house: House, seed: int = 5) -> LearnedView:
    """What these brews teach."""
    return learned_view(learned_from(brewed(house, on, np.random.default_rng(seed))[0]))


def test_a_house_that_boils_harder_than_published_is_found_out():
    view = learned(days(25), typical(days(1), boil_off_l_per_h=1.5))

    boil = level(view, "boil_off_l_per_h")
    # Log-normal: 1.5 published sds of 0.8/4.52 each above the published level.
    assert boil.level.low < boil.published.level * np.exp(1.5 * 0.8 / 4.523) < boil.level.high
    assert boil.next_brew.scatter < 0.6 * boil.published.scatter
    assert boil.brews == 25
    assert boil.spread_gone > 0.4


def test_one_brew_teaches_a_little_and_never_narrows_beyond_its_scatter():
    view = learned(days(1), typical(days(1)))

    boil = level(view, "boil_off_l_per_h")
    assert boil.brews == 1
    assert 0.05 < boil.spread_gone < 0.5
    assert boil.scatter is not None
    assert boil.next_brew.scatter > boil.scatter.median


def test_a_figure_that_no_reading_touches_is_not_learned():
    view = learned(days(3), typical(days(1)))

    families = {one.family for one in view.levels}
    assert "fermenter.sediment" not in families  # nobody measured what was packed
    assert "instrument.ph meter.bias" not in families


def test_a_new_kettle_has_a_level_of_its_own_that_the_old_one_still_tells_of():
    later = [Day(plan=amber(), brewery=LARGER, after_days=21.0 * number) for number in range(13, 15)]
    on = [*days(13), *later]

    view = learned(on, typical(on, boil_off_l_per_h=1.2))

    old, new = level(view, "boil_off_l_per_h", "50 L"), level(view, "boil_off_l_per_h", "80 L")
    assert (old.brews, new.brews) == (13, 2)
    assert new.since == "brew 14"
    assert (old.comes_next, new.comes_next) == (False, True)
    assert old.since == ""
    # Two brews by themselves leave more of the published spread than two after thirteen on another kettle.
    alone = learned(later, typical(on, boil_off_l_per_h=1.2))
    assert new.spread_gone > level(alone, "boil_off_l_per_h").spread_gone
    assert new.spread_gone < old.spread_gone


def test_the_same_instrument_is_known_ever_better_and_a_new_one_not_at_all():
    other = changed(SHED, ('error = "0.3 L"\nbias = "0.2 L"', 'error = "0.3 L"\nbias = "0.4 L"'))
    on = [*days(12), Day(plan=amber(), brewery=other, after_days=300.0)]

    view = learned(on, typical(on, instrument__dipstick__bias=1.5))

    old, new = level(view, "instrument.dipstick.bias", "0.2"), level(view, "instrument.dipstick.bias", "0.4")
    assert old.scatter is None
    assert old.spread_gone > 0.3
    assert new.spread_gone < old.spread_gone


def test_small_batches_tell_less_of_a_large_one_than_of_a_small_one():
    small = [Day(plan=amber(0.4), brewery=SHED, after_days=21.0 * number) for number in range(20)]
    gathered, _ = brewed(typical(small), small, np.random.default_rng(2))
    plans = [nouns(Day(plan=amber(size), brewery=SHED, after_days=0.0))[0] for size in (0.4, 1.6)]

    alike, large = (learned_view(learned_from(gathered, plan)) for plan in plans)

    for family in ("conversion", "retained_l_per_kg", "trub_l_per_kg"):
        assert level(large, family).next_brew.scatter / level(large, family).published.scatter > (
            level(alike, family).next_brew.scatter / level(alike, family).published.scatter
        )
        assert level(large, family).spread_gone > 0.0
        widths = [one.level.high - one.level.low for one in (level(alike, family), level(large, family))]
        assert widths[1] > widths[0]


def test_a_slip_of_the_pen_is_set_aside_and_named(tmp_path):
    place = str(tmp_path / "book.gyle")
    write_book(place, typical(days(1)), days(4), np.random.default_rng(4))
    clean = learned_view(learn_from_book(place))
    with open_book(place) as book:
        wrong = Reading(step="boil end", quantity="volume", value=61.0, instrument="dipstick", at="11:00")
        brew = book.brew("brew 3")
        book.write_event(brew.id, READING, reading_body(wrong), brew.started_at)

    view = learned_view(learn_from_book(place))

    assert view.set_aside == (("brew 3", "boil end", "volume"),)
    assert view.readings == clean.readings
    boil, before = level(view, "boil_off_l_per_h"), level(clean, "boil_off_l_per_h")
    assert boil.next_brew.level == pytest.approx(before.next_brew.level, rel=1e-6)


def test_a_book_teaches_what_its_brews_do_and_says_which_brewery(tmp_path):
    place = str(tmp_path / "book.gyle")
    house = typical(days(1))
    write_book(place, house, days(5), np.random.default_rng(4))
    told = []

    learning = learn_from_book(place, progress=lambda done, of: told.append((done, of)))

    from_book = learned_view(learning)
    assert from_book.brewery == "The shed behind the orchard"
    assert (from_book.brews, from_book.readings) == (5, 40)
    assert told == [(number, 5) for number in range(6)]
    direct = learned_view(learned_from(brewed(house, days(5), np.random.default_rng(4))[0]))
    for mine, theirs in zip(from_book.levels, direct.levels, strict=True):
        assert mine.next_brew.level == pytest.approx(theirs.next_brew.level)


def test_figures_the_brewery_file_states_already_are_not_counted_twice(tmp_path):
    stated = SHED + '\n[house.boil_off_l_per_h]\nlevel = "6 L/h"\nscatter = "0.1 L/h"\n'
    plain, typed = str(tmp_path / "plain.gyle"), str(tmp_path / "typed.gyle")
    for place, text in ((plain, SHED), (typed, stated)):
        on = [Day(plan=amber(), brewery=text, after_days=21.0 * number) for number in range(4)]
        write_book(place, typical(days(1)), on, np.random.default_rng(4))

    boils = [level(learned_view(learn_from_book(place)), "boil_off_l_per_h") for place in (plain, typed)]

    assert boils[0].next_brew == boils[1].next_brew
    assert boils[1].published.level == pytest.approx(4.52, abs=0.01)


def test_an_empty_book_and_one_without_readings_say_what_to_do(tmp_path):
    place = str(tmp_path / "book.gyle")
    new_book(place)
    with pytest.raises(Refused, match="no brew in this book; start one with gylebook brew start"):
        learn_from_book(place)

    unread = str(tmp_path / "unread.gyle")
    write_book(unread, typical(days(1)), days(2), np.random.default_rng(1), read=())
    with pytest.raises(Refused, match="has a reading; write readings down with gylebook brew read"):
        learn_from_book(unread)
    with pytest.raises(Refused, match="“the cellar”; was brewed on by none; there were: The shed behind"):
        learn_from_book(unread, "the cellar")


def test_what_is_kept_is_the_next_version_and_forecasts_what_was_learned(tmp_path):
    place = str(tmp_path / "book.gyle")
    write_book(place, typical(days(1), boil_off_l_per_h=1.5), days(10), np.random.default_rng(4))
    learning = learn_from_book(place)
    view = learned_view(learning)

    kept = keep_learned(place, learning, view)

    assert kept.version == 2
    brewery = read_brewery(kept.text, where="kept")
    own = brewery.house["boil_off_l_per_h"]
    assert own.level == pytest.approx(level(view, "boil_off_l_per_h").next_brew.level, rel=1e-3)
    assert kept.text.startswith(SHED.rstrip())
    plan, _ = nouns(days(1)[0])
    figures = {one.figure.name: one.figure for one in belongings(plan, brewery) if one is not None}
    assert figures["boil_off_l_per_h"].level == own.level
    # Learned again, from the same brews: the text does not change any more.
    again = learn_from_book(place)
    assert learned_text(again, learned_view(again)) == kept.text


def test_a_brew_is_foreseen_better_once_its_house_is_known():
    on = days(30)
    house = typical(days(1), boil_off_l_per_h=1.5, conversion=-1.2, retained_l_per_kg=1.3)
    learning = learned_from(brewed(house, on, np.random.default_rng(6))[0])

    found = backtest(learning)

    assert found.readings == 240
    assert found.likelier_each > 0.1
    assert sum(brew.likelier for brew in found.brews) == pytest.approx(240 * found.likelier_each)
    by_kind = {(kind.step, kind.quantity): kind for kind in found.kinds}
    for place in (("preboil", "volume"), ("boil end", "volume"), ("efficiency.kettle", "efficiency")):
        assert by_kind[place].learned.error < 0.8 * by_kind[place].published.error
        assert by_kind[place].count == 30
    # 240 readings, eight a brew that hang together: 90 % within some 3 sds of 3 %.
    assert 0.82 < found.inside(learned=True) <= 1.0


def test_a_reading_beyond_the_usual_ones_is_asked_for_where_it_tells_most():
    usual = (("preboil", "volume", "dipstick"), ("preboil", "gravity", "hydrometer"))
    gathered, _ = brewed(typical(days(1)), days(6), np.random.default_rng(2), read=usual)

    view = learned_view(learned_from(gathered))

    conversion, retained = level(view, "conversion"), level(view, "retained_l_per_kg")
    assert conversion.reading is not None
    assert retained.reading is not None
    assert not retained.reading.usual
    # A dip into the second vessel tells what the bag holds at a quarter of the work of weighing it.
    assert (retained.reading.step, retained.reading.quantity) == ("rinse", "volume")
    assert retained.reading.takes_away > 0.01
