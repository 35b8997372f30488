"""A blind test in a book: set up once, answered by codes, put right in the open, counted at the end."""

from __future__ import annotations

import shutil
from uuid import uuid4

import pytest

from gylebook.errors import Refused
from gylebook.record.store import open_book
from gylebook.tasks.tasting import (
    beers_in_book,
    set_up,
    tasting_in_book,
    tastings_in_book,
    write_answer,
)
from gylebook.tasks.tasting_result import promise, result_of
from tasting_books import AT, BREW, answer_all, book_to_taste, odd_code, picked

AGAIN = "Orchard amber, again"


@pytest.fixture(scope="module")
def brewed(tmp_path_factory):
    return book_to_taste(tmp_path_factory.mktemp("brewed"), AGAIN)


@pytest.fixture
def book(brewed, tmp_path):
    return shutil.copy(brewed, tmp_path / "book.gyle")


@pytest.fixture
def two(book):
    """Sets up a test of the keg and the bottles."""

    def made(kind="triangle", tasters=6, **more):
        beers = more.pop("beers", [(BREW, "keg"), (BREW, "bottles")])
        return set_up(book, kind, beers, tasters=tasters, at=AT, **more)

    return made


def test_a_test_is_read_back_as_it_was_set_up(book, two):
    made = two(seed=5)

    found = tasting_in_book(book, made.number)

    assert found == made
    assert [beer.name for beer in found.tasting.poured] == ["Gate amber", "Hedge amber"]
    assert (found.missing, found.glasses) == (6, 18)
    assert found.tasting.seed == 5


def test_without_a_seed_luck_deals_each_test_differently(two):
    assert two().tasting.sets != two().tasting.sets


def test_a_test_sent_twice_is_set_up_once(book, two):
    own = uuid4()

    first, second = two(id=own), two(id=own)

    assert first == second
    assert len(tastings_in_book(book)) == 1


def test_beers_of_two_brews_are_compared_from_the_book(book, two):
    found = two(beers=[(BREW, "keg"), (AGAIN, "keg")])

    assert [beer.brew for beer in found.tasting.poured] == [BREW, AGAIN]
    assert {(beer.brew, beer.portion) for beer in beers_in_book(book)} >= {(BREW, "long"), (AGAIN, "keg")}


def test_a_code_tells_whose_answer_it_is(book, two):
    found = two()
    one = found.tasting.sets[3]

    found = write_answer(book, found.number, [f" {odd_code(one)} "], at=AT, who="Ada", sure=2, words="drier")

    (stands,) = found.answers
    assert (stands.answer.taster, stands.answer.round, stands.event.who) == (4, 1, "Ada")
    assert (stands.answer.sure, stands.answer.words) == (2, "drier")
    assert found.missing == 5


def test_an_answer_is_put_right_in_the_open_and_only_when_it_is_said_so(book, two):
    found = two()
    one = found.tasting.sets[0]
    write_answer(book, found.number, picked(found.tasting, one, False), at=AT)

    with pytest.raises(Refused, match=r"taster 1 answered that set already, with \d{3}; say that this comes"):
        write_answer(book, found.number, [odd_code(one)], at=AT)
    after = write_answer(book, found.number, [odd_code(one)], at=AT, instead=True, reason="misread")

    assert [stands.answer.picked for stands in after.answers] == [(odd_code(one),)]
    with open_book(book) as opened:
        kinds = [event.kind for event in opened.events(found.brew_id)]
    assert kinds.count("tasting answered") == 2  # the first one stays in the book


def test_an_answer_sent_twice_is_kept_once(book, two):
    found, own = two(), uuid4()
    code = odd_code(found.tasting.sets[0])

    write_answer(book, found.number, [code], at=AT, id=own)
    again = write_answer(book, found.number, [code], at=AT, id=own)

    assert len(again.answers) == 1


@pytest.mark.parametrize(
    ("kind", "codes", "said"),
    [
        ("triangle", lambda sets: ["100"], "100 is on no glass of this test"),
        ("triangle", lambda sets: sets[0].codes[:2], "2 codes; write the code of the odd glass"),
        ("tetrad", lambda sets: sets[0].codes[:1], "write the two codes of one group"),
        ("tetrad", lambda sets: [sets[0].codes[0]] * 2, "1 codes; write the two codes"),
        ("tetrad", lambda sets: [sets[0].codes[0], sets[1].codes[0]], "stood before different tasters"),
        ("paired", lambda sets: [], "0 codes; write the code of the glass that has more"),
    ],
)
def test_codes_that_are_no_answer_are_refused_in_words(book, two, kind, codes, said):
    found = two(kind)

    with pytest.raises(Refused, match=said):
        write_answer(book, found.number, codes(found.tasting.sets), at=AT)

    assert tasting_in_book(book, found.number).answers == ()


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"tasters": 0}, "tasters: 0; must be 1 to 60"),
        ({"rounds": 5}, "tires the tongue"),
        ({"kind": "tetrad", "tasters": 60, "rounds": 3}, "720 glasses"),
        ({"beers": [(BREW, "keg")]}, "takes two"),
        ({"beers": [(BREW, "keg"), (BREW, "keg")]}, "twice"),
        ({"beers": [(BREW, "keg"), (BREW, "kag")]}, "its portions are keg, bottles, long"),
        ({"kind": "ranking"}, "a ranking takes 3 to 6"),
        ({"trait": "sourness"}, "take a pair for that"),
        ({"kind": "paired", "foretold": 1}, "only of a pair with a trait"),
        ({"kind": "paired", "rounds": 2}, "ask once what is liked"),
        ({"glass_ml": 1.0}, "10 to 300 mL"),
    ],
)
def test_what_cannot_be_tasted_is_refused_with_what_can(two, more, said):
    with pytest.raises(Refused, match=said):
        two(**more)


def test_a_number_that_is_no_tasting_is_told_which_are(book, two):
    made = two()

    with pytest.raises(Refused, match=f"it holds {made.number}$"):
        tasting_in_book(book, 1)


def test_eight_of_twelve_triangles_are_counted_as_worked_out_by_hand(book, two):
    found = two(tasters=12)
    answer_all(book, found.number, 8)

    told = result_of(tasting_in_book(book, found.number))

    # Tail of the binomial of 12 at a third from 8 on; the range of tasters who tell with a flat prior.
    assert (told.right, told.answers, told.by_luck) == (8, 12, pytest.approx(4.0))
    assert told.luck == pytest.approx(0.0188, abs=5e-5)
    assert told.able == pytest.approx((0.156, 0.469, 0.752), abs=0.001)
    low, likeliest, high = told.distance
    assert 0.0 < low < likeliest < high
    assert not told.early


@pytest.mark.parametrize(("kind", "right"), [("triangle", 5), ("tetrad", 5), ("paired", 5)])
def test_right_answers_are_known_whatever_their_place(book, two, kind, right):
    more = {"trait": "sourness", "foretold": 0} if kind == "paired" else {}
    found = two(kind, tasters=12, **more)
    answer_all(book, found.number, right)

    told = result_of(tasting_in_book(book, found.number))

    assert told.right == right
    assert sum(one.right for one in told.tasters) == right


def test_a_pair_without_a_foretold_side_is_judged_both_ways(book, two):
    found = two("paired", tasters=12)
    answer_all(book, found.number, 2)

    told = result_of(tasting_in_book(book, found.number))

    assert (told.named, told.right, told.either_way) == (1, 10, True)
    assert told.luck == pytest.approx(0.0386, abs=5e-5)  # 10 of 12, two-sided, of the standard's table


def test_a_foretold_side_that_was_wrong_is_no_discovery(book, two):
    found = two("paired", tasters=12, trait="sourness", foretold=0)
    answer_all(book, found.number, 1)

    told = result_of(tasting_in_book(book, found.number))

    assert told.luck > 0.99
    assert told.distance[1] < 0.0


def test_a_result_before_the_end_says_that_it_is_early(book, two):
    found = two(tasters=12)
    assert result_of(found) is None
    answer_all(book, found.number, 8, but=1)

    assert result_of(tasting_in_book(book, found.number)).early


def test_one_taster_who_always_tells_does_not_narrow_the_range_as_many_would(book, two):
    of_few = two("tetrad", tasters=4, rounds=3)
    answer_all(book, of_few.number, 6)  # the first two tasters tell each time, the others never
    of_many = two("tetrad", tasters=12)
    answer_all(book, of_many.number, 6)

    few, many = (result_of(tasting_in_book(book, one.number)) for one in (of_few, of_many))

    assert few.luck == many.luck  # by luck alone every answer is a guess of its own
    assert few.alike == pytest.approx(1.0)
    assert few.able[2] - few.able[0] > many.able[2] - many.able[0]


def test_a_ranking_is_told_by_its_sums(book, two):
    beers = [(BREW, "keg"), (BREW, "bottles"), (BREW, "long")]
    found = two("ranking", tasters=3, beers=beers, trait="sourness")
    for one in found.tasting.sets:
        by_beer = dict(zip(one.beers, one.codes, strict=True))
        write_answer(book, found.number, [by_beer[2], by_beer[0], by_beer[1]], at=AT)

    told = result_of(tasting_in_book(book, found.number))

    # Three who agree on three beers: 1 of 36 by luck.
    assert told.sums == (6, 9, 3)
    assert (told.luck, told.exact) == (pytest.approx(1 / 36), True)
    assert [(pair.more, pair.less, pair.apart) for pair in told.pairs] == [(2, 0, 3), (2, 1, 6), (0, 1, 3)]


def test_a_panel_is_told_beforehand_what_it_would_notice():
    six = promise(6)
    sour = promise(6, trait=True)

    once = {offer.kind: offer.odds[-1] for offer in six.offers if offer.rounds == 1}
    assert once["triangle"] < once["tetrad"]
    twice = next(offer.odds[-1] for offer in six.offers if (offer.kind, offer.rounds) == ("tetrad", 2))
    assert twice > once["tetrad"]
    assert {offer.kind for offer in sour.offers} == {"paired"}
    assert six.needed["triangle"]["small"] is None  # 220, more than is looked for
