"""A parcel comes out as it went in, or is refused in words; what was damaged on the way is never brewed."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from command_line import EXAMPLE
from gylebook.brewery.beer import Beer, PortionOfBeer
from gylebook.errors import Refused
from gylebook.exchange.parcel import LARGEST, Parcel, read_parcel, seal_of, write_parcel
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.toml_text import parse
from gylebook.figures.draws import Summary

PLAN = read_plan((EXAMPLE / "plan.toml").read_bytes(), where="plan.toml")
SOLVED = replace(
    PLAN,
    grist=tuple(replace(grain, share=None, mass_kg=2.5) for grain in PLAN.grist),
    hops=tuple(replace(hop, mass_kg=0.05) for hop in PLAN.hops),
    liquor=replace(PLAN.liquor, mash_l=30.0, rinse_l=14.0),
)
BEER = Beer(
    volume_l=34.0,
    kettle_l=38.0,
    plato=12.86,
    ibu=28.0,
    colour_srm=8.8,
    mash_ph=5.4,
    ions=(("calcium", 97.7), ("sulphate", 55.1)),
    hop_ibu=tuple((hop.key, 14.0) for hop in PLAN.hops),
    late_ibu=4.8,
    chill_min=28.5,
    portions=tuple(
        PortionOfBeer(key=p.key, volume_l=11.0, most_l=12.0, pitched=1.2, packs_needed=0.8)
        for p in PLAN.portions
    ),
)
NUMBERS = {
    "og": Summary(1.052, 1.047, 1.055, 1.0517, 0.0026),
    "portion.keg.abv": Summary(5.1, 4.5, 5.6, 5.1, 0.3),
}
PARCEL = Parcel(
    asked=PLAN, solved=SOLVED, beer=BEER, numbers=NUMBERS, sender="Ada", note="Keeps well.", made_by="0.1.0"
)
TEXT = write_parcel(PARCEL)

numbers = st.floats(1e-3, 1000.0)


def sealed(text: str) -> str:
    """The text with a seal that fits it, as somebody would make who changed it on purpose."""
    tables = parse(text, where="parcel").tables
    return text.replace(tables["seal"], seal_of(tables))


def changed(old: str, new: str) -> str:
    assert old in TEXT
    return TEXT.replace(old, new, 1)


def test_a_parcel_comes_out_as_it_went_in():
    assert read_parcel(TEXT, where="parcel") == PARCEL
    assert read_parcel(TEXT.encode(), where="parcel") == PARCEL


def test_the_same_parcel_is_the_same_file():
    assert write_parcel(PARCEL) == TEXT


def test_other_line_endings_do_no_harm():
    assert read_parcel(TEXT.replace("\n", "\r\n").encode(), where="parcel") == PARCEL


@settings(max_examples=60, deadline=None)
@given(
    litres=numbers, ibu=st.floats(0.0, 200.0), ph=st.none() | st.floats(4.5, 6.5), known=st.booleans(),
    sender=st.sampled_from(["", "Ada", "Žofie & Ιώ", 'a "b" \\ c', "'''"]), spread=st.floats(0.0, 1e6),
)  # fmt: skip
def test_any_beer_comes_out_as_it_went_in(litres, ibu, ph, known, sender, spread):
    beer = replace(BEER, volume_l=litres, ibu=ibu, mash_ph=ph, ions=BEER.ions if known else ())
    told = {"og": Summary(litres, litres - spread, litres + spread, litres, spread)}
    parcel = replace(PARCEL, beer=beer, sender=sender, numbers=told)

    assert read_parcel(write_parcel(parcel), where="parcel") == parcel


@settings(max_examples=400, deadline=None)
@given(at=st.integers(0, len(TEXT) - 1), sign=st.characters(min_codepoint=9, max_codepoint=0x2FFF))
def test_a_sign_changed_anywhere_is_found_or_changes_nothing(at, sign):
    damaged = TEXT[:at] + sign + TEXT[at + 1 :]

    try:
        found = read_parcel(damaged, where="parcel")
    except Refused:
        return
    assert found == PARCEL  # it stood in a comment, or in the space between two words


@settings(max_examples=150, deadline=None)
@given(start=st.integers(0, len(TEXT)), length=st.integers(1, 2000))
def test_a_piece_lost_anywhere_is_found_or_changes_nothing(start, length):
    try:
        found = read_parcel(TEXT[:start] + TEXT[start + length :], where="parcel")
    except Refused:
        return
    assert found == PARCEL


@settings(max_examples=100, deadline=None)
@given(data=st.binary(max_size=300))
def test_bytes_that_are_no_parcel_are_refused(data):
    with pytest.raises(Refused):
        read_parcel(data, where="parcel")


@pytest.mark.parametrize("digit", ["12.86", "5.4", "28.5", "97.7"])
def test_a_figure_changed_without_the_seal_is_found(digit):
    with pytest.raises(Refused, match=r"content and its seal do not agree.*ask its sender for another copy"):
        read_parcel(changed(digit, "11.1"), where="parcel")


def test_a_newer_format_is_refused_before_its_seal_is_judged():
    with pytest.raises(Refused, match=r"format 2, newer than this gylebook knows.*reads format 1"):
        read_parcel(changed("parcel = 1", "parcel = 2"), where="parcel")


def test_a_plan_file_is_no_parcel():
    with pytest.raises(Refused, match="not a parcel; a parcel states its format"):
        read_parcel((EXAMPLE / "plan.toml").read_bytes(), where="plan.toml")


@pytest.mark.parametrize(
    ("old", "new", "match"),
    [
        ("volume_l = 34.0", "volume_l = -3.0", "beer.volume_l"),
        ("plato = 12.86", "plato = nan", "beer.plato"),
        ("ibu = 28.0", "ibu = inf", "beer.ibu"),
        ("calcium = 97.7", "helium = 97.7", "“helium”; one of calcium"),
        ('key = "keg"', 'key = "cask"', "beer.portions: cask"),
        ("[1.052, 1.047, 1.055", "[1.052, 1.057, 1.055", "middle of a forecast lies between"),
        ('note = "Keeps well."', 'note = "a\\u202eb"', "note"),
        ('note = "Keeps well."', 'note = "a\\u001b[2Jb"', "note"),
        ('made_by = "0.1.0"', 'made_by = "0.1.0"\nrecipe = "x"', "recipe"),
        ('grain = "Vienna malt"', 'grain = "moon dust"', "parcel, grist: vienna-malt"),
        ('"62 %"', '"162 %"', "parcel, plan line"),
        ('mash = "30 L"\n', "", "no liquor for the mash"),
        ('mass = "2.5 kg"', 'share = "5 %"', "no mass for vienna-malt"),
    ],
)
def test_what_no_beer_can_be_is_refused_even_under_a_whole_seal(old, new, match):
    with pytest.raises(Refused, match=match):
        read_parcel(sealed(changed(old, new)), where="parcel")


def test_a_parcel_far_too_large_is_not_even_parsed():
    with pytest.raises(Refused, match=r"400,0\d\d bytes; a parcel has at most 400,000 bytes"):
        read_parcel(TEXT + "#" * (LARGEST - len(TEXT) + 8), where="parcel")


@pytest.mark.parametrize("empty", ["", "  \n ", "\ufeff"])
def test_an_empty_parcel_is_called_empty(empty):
    with pytest.raises(Refused, match="empty"):
        read_parcel(empty, where="parcel")


@pytest.mark.parametrize("sender", ["a\nb", "x" * 81, "\u202eevil", " padded "])
def test_a_name_that_is_not_one_line_is_not_packed(sender):
    with pytest.raises(Refused, match=r"name: .*one line of at most 80"):
        write_parcel(replace(PARCEL, sender=sender))


def test_a_number_that_is_none_is_not_packed():
    with pytest.raises(Refused, match="forecast"):
        write_parcel(replace(PARCEL, numbers={"og": Summary(math.nan, 1.0, 1.1, 1.0, 0.0)}))
