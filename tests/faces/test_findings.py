"""Hold findings to one plain sentence each."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import gylebook.gyle
from example_views import about, limit, run_view
from gylebook.faces import findings
from gylebook.faces.words import US
from gylebook.tasks.views import ChangeView, RemedyPortion, RemedyView

KEYS = [
    *(
        "mash brim",
        "mash thickness",
        "rinse vessel brim",
        "bag weight",
        "foam room",
        "kettle brim at the end",
    ),
    *(
        "heating the liquor",
        "heating to the boil",
        "heating the rinse",
        "cooling",
        "head room",
        "yeast count",
    ),
]


def remedy(deed: str, amount: float = 0.0, dimension: str = "volume", of: str = "") -> RemedyView:
    return RemedyView(
        deed=deed, amount=amount, dimension=dimension, of=of, loss=1.0, portions=(), odds_limits_kept=0.9
    )


def test_a_limit_at_risk_says_so_by_shape_and_by_word() -> None:
    said = findings.limit_sentence(limit("foam room", "kettle", 0.914, 0.4))

    assert said == (
        "▲ Foam room in the kettle is kept 91 in 100, less than the 95 in 100 asked for; "
        "0.4 L to spare at the median."
    )


def test_a_limit_that_is_kept_is_told_without_alarm() -> None:
    said = findings.limit_sentence(limit("mash brim", "Big pot", 1.0, 9.8), draws=4000)

    assert said == "The brim at the mash in Big pot is kept in all 4,000 draws; 9.8 L to spare at the median."


def test_a_vessel_that_overflows_has_too_much_in_it() -> None:
    said = findings.limit_sentence(limit("rinse vessel brim", "bucket", 0.0, -7.6), US)

    assert said.endswith("; 2.01 gal too much at the median.")


@pytest.mark.parametrize("name", KEYS)
def test_every_limit_has_a_sentence_of_its_own(name: str) -> None:
    said = findings.limit_sentence(limit(name, "kettle", 0.97, 1.0, "min"))

    assert name not in ("bag weight",) or "lifted" in said
    assert said.endswith("97 in 100; 1 min to spare at the median.")
    assert "  " not in said


def test_a_limit_not_known_here_is_told_by_its_own_name() -> None:
    said = findings.limit_sentence(limit("lid clearance", "kettle", 0.97, 1.0))

    assert said == "Lid clearance in the kettle is kept 97 in 100; 1.0 L to spare at the median."


def test_aims_say_what_is_aimed_at_how_surely_and_what_is_forecast() -> None:
    volume, gravity, bitterness = (findings.aim_sentence(aim) for aim in run_view().aims)

    assert volume == "33.0 L into the fermenters is reached 88 in 100; the forecast is 33.9 L (32.3 – 35.5)."
    assert gravity.startswith("Gravity within 0.003 of 1.052 is reached 81 in 100;")
    assert bitterness.startswith("Bitterness within 4 of 28 IBU is reached 74 in 100;")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (remedy("add liquor", 2.1), "Add 2.1 L boiled liquor at the end of the boil"),
        (remedy("boil longer", 15, "duration"), "Boil 15 min longer"),
        (remedy("boil shorter", 20, "duration"), "Stop the boil 20 min early"),
        (remedy("add extract", 0.42, "mass"), "Add 420 g dry malt extract and boil it up"),
        (remedy("add sugar", 0.3, "mass", "candi sugar"), "Add 300 g candi sugar"),
        (remedy("change a hop", 0.025, "mass", "Saaz"), "Weigh 25 g of Saaz instead"),
        (remedy("move wort", 1.2, of="Keg to Long"), "Move 1.2 L wort, Keg to Long"),
        (remedy("leave it"), "Leave it"),
    ],
)
def test_a_remedy_is_said_as_something_to_do(given: RemedyView, said: str) -> None:
    assert findings.remedy_sentence(given) == said


def test_what_a_remedy_makes_of_a_portion_and_what_readings_changed() -> None:
    portion = RemedyPortion(
        key="keg", name="Keg", volume_l=about(11.2, 0.5), og=about(1.055, 0.002), ibu=about(26, 4),
        odds_to_the_mark=0.41,
    )  # fmt: skip
    change = ChangeView(name="portion.keg.volume_l", before=about(11.9, 0.7), after=about(11.2, 0.4))

    assert findings.remedy_outcome(portion) == "Keg: 11.2 L, 1.055, 26 IBU, volume reached 41 in 100"
    assert findings.change_text(change) == "11.9 L → 11.2 L (10.8 – 11.6)"


def test_a_caution_by_key_becomes_a_sentence_and_one_in_words_stays() -> None:
    assert findings.caution_sentence("lift").startswith("A wet bag is heavy")
    assert findings.caution_sentence("Keep the dog out.") == "Keep the dog out."


def test_every_caution_of_the_running_order_has_its_sentence() -> None:
    folder = Path(gylebook.gyle.__file__).parent
    steps = "".join(path.read_text(encoding="utf-8") for path in folder.glob("order*.py"))
    keys = {
        key for group in re.findall(r"cautions=\(?(.*?)\)", steps) for key in re.findall(r'"([^"]+)"', group)
    }

    assert keys
    for key in keys | {"gas", "electric"}:
        assert findings.caution_sentence(key).endswith("."), key
