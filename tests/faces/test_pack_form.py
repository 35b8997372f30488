"""What is typed about packing is read alike on every face, and refused in words where it is not clear."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import Refused
from gylebook.faces.pack_form import PackTyped, read_wanted
from gylebook.faces.pack_words import rare
from gylebook.tasks.pack_views import BottlesWanted


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("24 beer bottle", BottlesWanted(kind="beer bottle", count=24)),
        ("all thin bottle, 0.33 L", BottlesWanted(kind="thin bottle", size_l=0.33)),
        ("12x swing-top bottle", BottlesWanted(kind="swing-top bottle", count=12)),
        ("6 × xylophone bottle", BottlesWanted(kind="xylophone bottle", count=6)),
        ("6 xylophone bottle", BottlesWanted(kind="xylophone bottle", count=6)),
        ("3 75cl bottle", BottlesWanted(kind="75cl bottle", count=3)),
    ],
)
def test_a_lot_is_a_number_a_kind_and_a_size(text, meant):
    assert read_wanted(PackTyped(bottles=(text,))).bottles == (meant,)


def test_every_field_is_read_into_base_units():
    wanted = read_wanted(
        PackTyped(
            kegs=("5 gal",),
            volumes="2,4 vol",
            store="68 °F",
            scale="0.1 g",
            litres="19 L",
            accepted="1 in 2,000",
        )
    )

    assert wanted.kegs == pytest.approx((18.927,), rel=1e-3)
    assert (wanted.volumes, wanted.litres) == (2.4, 19.0)
    assert wanted.store_c == pytest.approx(20.0)
    assert wanted.scale_g == pytest.approx(0.1)
    assert wanted.accepted == 0.0005


@given(st.fixed_dictionaries({name: st.text(max_size=40) for name in ("volumes", "store", "scale", "wort")}))
def test_any_text_is_read_or_refused(typed):
    told = PackTyped(bottles=(typed["store"],), accepted=typed["wort"], **typed)
    with contextlib.suppress(Refused):  # any other error is one of ours
        assert read_wanted(told).reason == ""


@given(st.floats(0.0, 1.0))
def test_odds_are_never_told_as_rarer_than_they_are(share):
    told = rare(share, 4000)

    if told.startswith("1 in "):
        assert 1.0 / int(told.removeprefix("1 in ").replace(",", "")) >= share
