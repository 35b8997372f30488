"""What a blind test shows is told with its luck and its range, and never as more than it is."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from gylebook.brewery.tasting import Poured, Tasting
from gylebook.decide.tasting import serving
from gylebook.faces import tasting_words
from gylebook.faces.pictures.luck import luck_picture
from gylebook.faces.pictures.themes import WEB
from gylebook.process.guessing import luck, luck_either_way, odds_of_each
from gylebook.tasks.tasting import TastingInBook
from gylebook.tasks.tasting_result import Result, promise

INF = float("inf")


def result(right=8, answers=12, chance=1 / 3, **more) -> Result:
    either = more.get("either_way", False)
    known = {
        "kind": "triangle",
        "answers": answers,
        "missing": 0,
        "right": right,
        "by_luck": answers * chance,
        "luck": luck_either_way(right, answers) if either else luck(right, answers, chance),
        "exact": True,
        "either_way": False,
        "named": None,
        "distance": (0.8, 2.3, 3.8),
        "able": (0.16, 0.47, 0.75),
        "alike": 0.0,
        "noticed": {"small": 0.07, "middling": 0.21, "large": 0.45},
        "tasters": (),
        "by_chance": tuple(odds_of_each(answers, chance)),
    }
    return Result(**{**known, **more})


def found(kind="triangle", trait="", brews=("a", "a")) -> TastingInBook:
    poured = tuple(
        Poured(brew_id=brew, brew=f"brew {brew}", portion=f"p{n}", name=name)
        for n, (brew, name) in enumerate(zip(brews, ("Gate amber", "Hedge amber"), strict=True))
    )
    tasting = Tasting(
        kind=kind, poured=poured, tasters=12, rounds=1, trait=trait, foretold=None, seed=1, glass_ml=50.0,
        sets=serving(kind, 2, 12, 1, 1),
    )  # fmt: skip
    return TastingInBook(
        number=7, id=None, brew_id=None, at="2026-04-18T19:00+02:00", tasting=tasting, answers=()
    )


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0.0004, "less than once in 1,000"),
        (0.001, "once in 1,000"),
        (0.0188, "19 times in 1,000"),
        (0.0999, "100 times in 1,000"),
        (0.178, "18 times in 100"),
        (0.9951, "nearly always"),
    ],
)
def test_luck_is_told_in_whole_times(share, said):
    assert tasting_words.luck_text(share) == said


def test_a_difference_is_told_with_its_count_and_its_range():
    told = tasting_words.result_sentences(found(), result())

    assert told[0] == (
        "8 of 12 picked the odd one; by luck alone 4 would. So many or more by luck: 19 times in 1,000."
    )
    assert "more than luck usually gives" in told[1]
    assert "Distance d′ 2.3 (0.8 – 3.8)" in told[2]
    assert told[3].startswith("Of 100 such tasters about 47 truly tell (16 – 75)")
    assert "parting another wort the same way" in told[4]


@pytest.mark.parametrize("right", [4, 6])
def test_what_was_not_shown_is_never_called_alike(right):
    said = tasting_words.verdict_sentence(found(), result(right))

    assert "It does not show that the beers are alike: a large difference shows" in said
    assert "45 in 100" in said


def test_a_preference_is_not_told_as_a_difference():
    said = tasting_words.result_sentences(
        found("paired"), result(11, 12, 0.5, kind="paired", either_way=True, named=1, able=None)
    )

    assert said[0].startswith("11 of 12 liked Hedge amber more; by luck alone 6 would")
    assert "for one or the other" in said[0]
    assert said[1].endswith("a preference was found.")


def test_all_right_has_a_lower_end_alone():
    assert tasting_words.interval_text((3.0, INF, INF)) == "at least 3.0"
    assert tasting_words.interval_text((0.5, 2.0, INF)) == "2.0 (0.5 and more)"


def test_beers_of_two_brews_bear_their_brews_and_need_no_word_on_fermenters():
    two = found(brews=("a", "b"))

    assert tasting_words.title(two.tasting) == "Gate amber (brew a) or Hedge amber (brew b): triangle"
    assert not any("fermenters" in line for line in tasting_words.beside_sentences(two, result()))


def test_many_tasters_are_told_what_they_would_mostly_notice():
    assert "would mostly notice a small difference" in tasting_words.promise_sentence(
        promise(40, trait=True, rounds=1)
    )


@pytest.mark.parametrize(
    ("either", "filled"), [(False, {8, 9, 10, 11, 12}), (True, {0, 1, 2, 3, 4, 8, 9, 10, 11, 12})]
)
def test_the_picture_fills_what_is_as_far_from_luck(either, filled):
    shown = replace(result(chance=0.5), either_way=either)

    svg = luck_picture(shown, width=420, theme=WEB)

    drawn = [
        one.get("fill") != "none" for one in ElementTree.fromstring(svg).iter() if one.tag.endswith("rect")
    ]
    assert {right for right, inked in enumerate(drawn) if inked} == filled
    assert not re.search(r"style=", svg)
