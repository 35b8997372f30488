"""Plans, breweries and own tables are kept byte for byte, in versions; a brew pins the ones it ran."""

from __future__ import annotations

import hashlib
from uuid import uuid4

import pytest

from gylebook.errors import Refused
from gylebook.record.store import revisions

AT = "2026-03-14T09:30:00+01:00"
TYPED = '\ufeffname = "Bière d’été"\r\n\tgrist = "10,7 kg"   \n\n# ends without a line end 🍺'


def test_a_plan_comes_back_byte_for_byte_as_it_was_typed(book):
    kept = book.keep_plan("summer", TYPED, note="with rye")

    again = book.plan("summer")

    assert again == kept
    assert again.text.encode() == TYPED.encode()
    assert again.sha256 == hashlib.sha256(TYPED.encode()).hexdigest()
    assert (again.version, again.note) == (1, "with rye")
    assert book.keep_brewery("shed", TYPED).text.encode() == TYPED.encode()
    assert book.keep_table("malts", TYPED).text.encode() == TYPED.encode()


def test_the_same_text_again_is_the_same_version(book):
    first = book.keep_brewery("shed", "a")
    plan = book.keep_plan("amber", "a", "first try")

    assert book.keep_brewery("shed", "a") == first
    assert book.keep_plan("amber", "a") == plan
    assert book.keep_plan("amber", "a", "first try") == plan
    assert book.keep_plan("amber", "a", "as brewed by Ada").version == 2


def test_a_change_makes_a_new_version_and_leaves_the_old_one(book):
    texts = ["a", "b", "a"]

    kept = [book.keep_brewery("shed", text) for text in texts]
    book.keep_brewery("barn", "c")

    assert [version.version for version in kept] == [1, 2, 3]
    assert book.brewery("shed") == kept[2]
    assert book.brewery("shed", 2) == kept[1] == book.brewery_version(kept[1].id)
    assert [(v.name, v.version) for v in book.breweries()] == [
        ("barn", 1),
        ("shed", 1),
        ("shed", 2),
        ("shed", 3),
    ]


def test_an_evening_with_water_has_versions_of_which_the_newest_counts(book):
    assert book.evening("shed") is None

    kept = [book.keep_evening("shed", text) for text in ("a", "b", "b", TYPED)]
    book.keep_evening("barn", "c")

    assert [version.version for version in kept] == [1, 2, 2, 3]
    assert book.evening("shed") == kept[3]
    assert book.evening("shed").text.encode() == TYPED.encode()


def test_an_own_table_has_versions_as_a_brewery_has(book):
    texts = ["a", "b", "b", "a"]

    kept = [book.keep_table("hops", text) for text in texts]
    book.keep_table("malts", "a")

    assert [version.version for version in kept] == [1, 2, 2, 3]
    assert book.table("hops") == kept[3]
    assert book.table("hops", 2) == kept[1] == kept[2]
    assert [(t.name, t.version) for t in book.tables()] == [
        ("hops", 1),
        ("hops", 2),
        ("hops", 3),
        ("malts", 1),
    ]


def test_a_brew_pins_the_versions_it_ran(book, start):
    brew = start(book)
    book.keep_plan("amber", "volume = '40 L'\n")

    found = book.brew("spring amber")

    assert found == brew == book.brew(brew.id) == book.brew(str(brew.id).upper())
    assert book.plan_version(found.plan_id).text == "volume = '33 L'\n"
    assert (found.seed, found.draws, found.program_version, found.started_at) == (7, 4000, "0.1.0", AT)


def test_brews_are_listed_by_the_moment_they_began_in_whatever_zone(book):
    plan, brewery = book.keep_plan("p", ""), book.keep_brewery("b", "")
    for name, at in (("later", "2026-03-14T09:00:00+00:00"), ("earlier", "2026-03-14T09:30:00+01:00")):
        book.start_brew(name, plan.id, brewery.id, 2**63 - 1, 1, at, "")

    assert [brew.name for brew in book.brews()] == ["earlier", "later"]
    assert book.plans() == (plan,)


def test_two_brews_cannot_bear_one_name(book, start):
    start(book)

    with pytest.raises(Refused, match="“spring amber”; is taken by another brew"):
        start(book)
    assert len(book.brews()) == 1


def test_what_is_not_in_the_book_is_said_with_what_is(book, start):
    start(book)

    with pytest.raises(Refused, match="plan stout: is not in this book; it holds amber"):
        book.plan("stout")
    with pytest.raises(Refused, match="table yeasts: is not in this book; it holds none yet"):
        book.table("yeasts")
    with pytest.raises(Refused, match="brewery shed: version 3; must be from 1 to 1"):
        book.brewery("shed", 3)
    with pytest.raises(Refused, match="brew winter: is not in this book; it holds spring amber"):
        book.brew("winter")
    with pytest.raises(Refused, match=r"plan version .* is not in this book"):
        book.start_brew("x", uuid4(), book.brewery("shed").id, 1, 1, AT, "")


def test_everything_wrong_with_a_start_is_told_at_once(book):
    with pytest.raises(Refused, match="name: “ ”") as refused:
        book.start_brew(" ", uuid4(), uuid4(), -1, 0, "today", "")

    assert [problem.where for problem in refused.value.problems] == ["name", "seed", "draws", "started_at"]


def test_a_text_that_cannot_be_kept_is_refused(book):
    with pytest.raises(Refused, match="text: holds a NUL character"):
        book.keep_plan("amber", "a\0b")
    with pytest.raises(Refused, match="name: “two\nlines”; must be one line"):
        book.keep_brewery("two\nlines", "")
    with pytest.raises(Refused, match="name: “spices”; is none of malts, sugars, yeasts, hops") as refused:
        book.keep_table("spices", "a\0b")
    assert [problem.where for problem in refused.value.problems] == ["name", "text"]
    assert book.plans() == book.breweries() == book.tables() == ()


def test_a_book_knows_its_own_id_and_age(book):
    about = book.about()

    assert about == book.about()
    assert about.revision == revisions()[-1]
    assert about.made_by.startswith("gylebook ")
