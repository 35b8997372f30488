"""What cannot be matched is said with how it was and how it is, in the brewer's own units."""

from __future__ import annotations

import pytest

from gylebook.faces import adapt_words
from gylebook.faces.words import METRIC, US
from gylebook.figures.draws import Summary
from gylebook.tasks.adapt_findings import MatchFinding
from gylebook.tasks.adapt_view import AdaptView, AmountPair, NumberPair


def finding(kind: str, **told: object) -> MatchFinding:
    return MatchFinding(kind=kind, **told)  # type: ignore[arg-type]


def view(**other: object) -> AdaptView:
    usual: dict[str, object] = {
        "name": "amber",
        "whose": "shed",
        "onto": "hall",
        "before_l": 34.0,
        "wanted_l": 20.0,
        "after_l": 20.0,
        "draws": 400,
        "asked_odds": 0.9,
        "rests": ((66.0, 60.0), (72.0, 10.0)),
        "boil_minutes": 60.0,
        "amounts": (),
        "numbers": (),
        "limits": (),
        "findings": (),
    }
    return AdaptView(**{**usual, **other})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (
            finding("way", before="dunk rinse", after="poured rinse", why="rinse vessel"),
            "Instead of a dunk rinse a poured rinse: there is no second vessel to rinse in.",
        ),
        (
            finding("drain", before="tun", after="hung", why="tun"),
            "The grain drains in a bag, hung: there is no tun, and a bag holds back less wort.",
        ),
        (
            finding("portion left out", of="Keg", before=11.0, why="fermenter"),
            "Keg is left out, 11.0 L of it: no fermenter is left for it.",
        ),
        (
            finding("portion divided", of="Keg", after=2.0),
            "Keg goes into two fermenters: none that is left holds it whole.",
        ),
        (
            finding("portion smaller", of="Keg", before=16.0, after=12.5, why="jug"),
            "Keg is 12.5 L instead of 16.0 L: jug holds no more with its head room.",
        ),
        (
            finding("pitch rate", of="Keg", before=1.0, after=1.6, why="packs"),
            "Keg gets 160 % of the yeast that it needs instead of 100 %: packs are opened whole.",
        ),
        (
            finding("ion", of="calcium", before=60.0, after=140.0, why="in the water", others=(0.4,)),
            "Calcium comes to 140 mg/L, not 60 mg/L: the water holds it already, and 40 % of water with "
            "nothing in it would bring it down.",
        ),
        (
            finding("ion", of="sodium", before=60.0, after=10.0, why="lack"),
            "Sodium comes to 10 mg/L, not 60 mg/L: no salt at hand brings it without too much of another.",
        ),
        (
            finding("pitch rate", of="Keg", before=1.0, after=1.3, why="starter"),
            "Keg gets 130 % of the yeast that it needs instead of 100 %: no starter is made smaller.",
        ),
        (
            finding("ion moved", of="sulphate", before=55.0, after=79.0),
            "Sulphate comes to 79 mg/L instead of 55 mg/L: no nearer without too much of another ion.",
        ),
        (
            finding("mash ph", before=5.4, after=5.52),
            "The mash comes to pH 5.52, not 5.40: nothing at hand brings it nearer.",
        ),
        (
            finding("late hops", before=4.6, after=6.2, others=(28.0, 95.0)),
            "By the kinetics late hops bring 6 IBU instead of 5 IBU: the wort cools in 1 h 35 min instead of "
            "28 min.",
        ),
        (
            finding("colour", before=8.0, after=9.5),
            "The colour is 19 EBC instead of 16 EBC, with the same shares of the grist.",
        ),
        (finding("thickness", before=3.8, after=3.2), "The mash is of 3.20 L/kg instead of 3.80 L/kg."),
        (
            finding("aroma", of="Saaz"),
            "Saaz cannot keep its grams a litre, as it has to bring the bitterness: its aroma differs.",
        ),
    ],
)
def test_each_finding_has_its_sentence(told, said):
    assert adapt_words.finding_sentence(told) == f"▲ {said}"


def test_a_finding_is_told_in_gallons_where_those_are_read():
    told = finding("portion smaller", of="Keg", before=16.0, after=12.5, why="jug")

    assert "3.30 gal instead of 4.23 gal" in adapt_words.finding_sentence(told, US)


def test_two_breweries_head_the_columns_and_on_ones_own_gear_the_litres_do():
    assert adapt_words.sides(view()) == ("shed", "hall")
    assert adapt_words.sides(view(whose="hall")) == ("34.0 L", "20.0 L")
    assert adapt_words.sides(view(whose="")) == ("as sent", "hall")


def test_what_stays_is_said_once():
    assert adapt_words.kept_sentence(view()) == (
        "As they were: mash 66 °C for 60 min, 72 °C for 10 min; boil 60 min."
    )


def test_how_much_there_is_and_how_much_was_wanted_is_said_first():
    same, short = view(after_l=34.0, wanted_l=34.0), view(after_l=34.0, wanted_l=68.0)

    assert adapt_words.sizes(same) == "34.0 L into the fermenters on both sides, reached 90 in 100."
    assert adapt_words.sizes(view()) == "34.0 L into the fermenters before, 20.0 L after, reached 90 in 100."
    assert adapt_words.sizes(short).endswith("34.0 L after, reached 90 in 100; 68.0 L were wanted.")


def test_what_is_the_same_a_litre_is_told_once_and_what_moves_as_it_moves():
    def hops(after: float) -> AmountPair:
        return AmountPair(
            part="hops",
            what="Saaz",
            dimension="mass",
            before=0.034,
            after=after,
            use="dry",
            minutes=4.0,
            per="g/L",
            before_per=1.0,
            after_per=after / 0.034,
        )

    ((_, (same, more)),) = adapt_words.amount_lines(view(amounts=(hops(0.034), hops(0.051))))

    assert same.what == "Saaz, 4 days in the fermenter"
    assert (same.note, more.note) == ("1.0 g/L", "1.0 g/L → 1.5 g/L")


def test_ions_are_told_as_a_report_tells_them_and_yeast_by_what_is_needed():
    ion = AmountPair(part="ions", what="calcium", dimension="mg/L", before=98.2, after=8.25)
    yeast = AmountPair(
        part="yeast",
        what="Ale",
        dimension="packs",
        before=1.0,
        after=2.0,
        use="Keg",
        per="pitched",
        before_per=1.01,
        after_per=1.4,
    )

    ((_, (calcium,)), (_, (packs,))) = adapt_words.amount_lines(view(amounts=(ion, yeast)))

    assert (calcium.before, calcium.after) == ("98 mg/L", "8.2 mg/L")
    assert (packs.what, packs.after) == ("Ale, for Keg", "2 packs")
    assert packs.note == "101 % → 140 % of its need"


def test_a_portion_tells_only_what_the_wort_does_not():
    og, own = Summary(1.052, 1.047, 1.055, 1.051, 0.002), Summary(1.040, 1.036, 1.044, 1.04, 0.002)
    pairs = (
        NumberPair(name="og", portion="", before=og, after=og),
        NumberPair(name="portion.a.og", portion="Keg", before=og, after=og),
        NumberPair(name="portion.b.og", portion="Small", before=own, after=own),
    )

    found = adapt_words.number_lines(view(numbers=pairs), METRIC)

    assert [(portion, len(lines)) for portion, lines in found] == [("The wort", 1), ("Small", 1)]
