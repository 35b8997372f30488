"""What is said and drawn of a fermentation: odds beside every verdict, never a bare “done”."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from xml.etree import ElementTree

import pytest

from example_ferments import gravity, viewed
from gylebook.faces import ferment_words
from gylebook.faces.cli.report_ferment import curve_in_letters
from gylebook.faces.pictures.ferment import ferment_picture, spoken, ticks
from gylebook.faces.pictures.themes import DARK, PAPER, PRINT
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.ferment_views import STATES

SVG = "{http://www.w3.org/2000/svg}"
HEALTHY = [(20.0, 1.048), (44.0, 1.035), (66.0, 1.0225), (90.0, 1.0165), (140.0, 1.0142), (188.0, 1.0140)]


@pytest.fixture(scope="module")
def view():
    return viewed([gravity(hours, sg) for hours, sg in HEALTHY])


@pytest.fixture(scope="module")
def unread():
    return viewed([])


@pytest.mark.parametrize("state", STATES)
def test_every_verdict_has_a_sentence_with_its_odds_and_what_else_it_may_be(view, state):
    others = [other for other in STATES if other != state]
    told = replace(view, verdict=state, odds={state: 0.6, others[0]: 0.4, **dict.fromkeys(others[1:], 0.0)})

    sentence = ferment_words.state_sentence(told)

    assert "60 in 100" in sentence
    assert "Or else: " in sentence
    assert "40 in 100" in sentence
    assert sentence.startswith("▲") == (state in ("stuck", "runaway"))


def test_what_is_amiss_comes_with_what_is_usually_done(view):
    for state, wanted in (("stuck", "second instrument"), ("runaway", "closed bottle"), ("slow", "warmth")):
        assert wanted in ferment_words.help_sentence(replace(view, verdict=state))
    assert ferment_words.help_sentence(view) == ""


def test_no_sentence_says_that_beer_is_done_without_days_and_points(view):
    for told in (view, replace(view, standing=replace(view.standing, wait_days=0.0))):
        waiting = ferment_words.waiting_sentence(told)

        assert re.search(r"\d days? after the last reading \(2026-11-28\)|one more reading", waiting)
        assert re.search(r"Points that the curve leaves possible: \d", waiting)


def test_an_end_that_is_only_a_guess_says_from_when_it_will_be_told(view, unread):
    assert re.search(r"from about 2026-11-2\d on", ferment_words.end_sentence(unread))
    assert ferment_words.end_sentence(view) == ""
    assert "wider than usual" in ferment_words.end_sentence(replace(view, widened=True))


def test_readings_that_agree_are_told_with_what_they_leave_unseen(view, unread):
    told = ferment_words.standing_sentence(view)

    assert re.search(r"over 2 days lies no more than the instrument’s error apart", told)
    assert re.search(r"up to \d+\.\d points", told)
    assert "No two readings agree yet" in ferment_words.standing_sentence(unread)


def test_readings_that_fell_within_the_error_are_not_called_standing_still():
    view = viewed([gravity(140.0, 1.013), gravity(356.0, 1.0115)])

    assert view.standing.stood_days == pytest.approx(9.0)
    told = ferment_words.standing_sentence(view)
    assert "stood still" not in told
    assert "over 9 days lies no more than the instrument’s error apart" in told


def test_without_a_reading_the_wait_counts_from_pitching(unread):
    assert re.search(r"Read again \d.* days? after pitching", ferment_words.waiting_sentence(unread))


def test_a_gravity_put_right_is_as_fine_as_what_was_read():
    view = viewed([gravity(140.0, 1.013), gravity(356.0, 1.0115)])

    assert [len(ferment_words.put_right(one)) for one in view.taken] == [len("1.013"), len("1.0115")]


@pytest.mark.parametrize(
    ("days", "text"),
    [(1.0, "1 day"), (3.46, "3.5 days"), (0.6, "0.6 days"), (57.6, "58 days"), (9.97, "10 days")],
)
def test_days_are_told_as_finely_as_they_are_known(days, text):
    assert ferment_words.days(days) == text


# ---- in letters


def test_the_curve_in_letters_falls_to_the_right_and_shows_every_reading(view):
    head, *lines = curve_in_letters(view, METRIC)

    middles = [line.index("█") for line in lines if "█" in line]
    assert middles == sorted(middles)
    assert sum(line.count("O") for line in lines) == len(HEALTHY)
    assert re.search(r"1\.05\d +1\.01\d", head)
    assert max(map(len, lines)) < 78


def test_the_curve_in_letters_stands_without_any_reading(unread):
    _, *lines = curve_in_letters(unread, METRIC)

    assert len(lines) > 5
    assert "O" not in "".join(lines)


# ---- as a picture


@pytest.mark.parametrize("theme", [PAPER, DARK, PRINT], ids=lambda theme: theme.name)
def test_the_picture_is_whole_and_says_itself_in_words(view, theme):
    svg = ElementTree.fromstring(ferment_picture(view, theme=theme))

    named = {node.get("id") for node in svg.iter()}
    assert set(svg.attrib["aria-labelledby"].split()) <= named
    assert svg.find(f"{SVG}desc").text == spoken(view)
    assert len(list(svg.iter(f"{SVG}circle"))) >= len(HEALTHY)
    for word in ("is as good as finished", "Day 0.8: read 1.048.", "End 1.01"):
        assert word in spoken(view)


def test_nothing_stands_outside_the_picture_nor_upon_other_words(view, unread):
    long = replace(view, name="A portion whose name is far too long for any line of a picture, and then some")
    for told in (view, unread, long):
        svg = ElementTree.fromstring(ferment_picture(told))
        width, height = (float(x) for x in svg.attrib["viewBox"].split()[2:])
        boxes = []
        for node in svg.iter(f"{SVG}text"):
            size, text = float(node.attrib["font-size"]), node.text or ""
            wide = 0.5 * size * len(text)
            left = (
                float(node.attrib["x"])
                - {"start": 0.0, "middle": 0.5, "end": 1.0}[node.get("text-anchor", "start")] * wide
            )
            y = float(node.attrib["y"])
            boxes.append((left, y - 0.75 * size, left + wide, y + 0.22 * size, text))
        for left, top, right, bottom, text in boxes:
            assert 0 <= left < right <= width, text
            assert 0 <= top < bottom <= height, text
        for (l0, t0, r0, b0, one), (l1, t1, r1, b1, other) in combinations(boxes, 2):
            assert r0 <= l1 or r1 <= l0 or b0 <= t1 or b1 <= t0, (one, other)


def test_a_name_with_signs_of_markup_stays_a_name(view):
    svg = ferment_picture(replace(view, name='<b>"&'))

    assert '&lt;b&gt;"&amp;' in svg
    ElementTree.fromstring(svg)


def test_gravities_are_told_in_plato_where_a_brewer_reads_plato(view):
    plato = Units(gravity="°P")

    assert "°P" in ferment_picture(view, units=plato)
    assert "1.01" not in "".join(curve_in_letters(view, plato))


@pytest.mark.parametrize(("low", "high"), [(0.0, 9.3), (0.0, 400.0), (1.0101, 1.0534), (1.011, 1.0135)])
def test_ticks_are_round_and_few(low, high):
    found = ticks(low, high)

    assert 2 <= len(found) <= 8
    assert all(low - 1e-9 <= tick <= high + 1e-9 for tick in found)
