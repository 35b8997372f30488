"""The command that packs a portion: it answers, refuses with what to do instead, prints and writes down."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from command_line import EXAMPLE, cli, refusal

FILLED = datetime.fromisoformat("2026-03-14T16:00+01:00")
USUAL = ("--at", "2026-04-11T12:00+02:00", "--store", "18 °C")


@pytest.fixture
def pack(tmp_path):
    """Packs the portion for bottles of a brew whose gravity stood still."""
    book = ("--book", tmp_path / "book.gyle")
    cli("book", "new", *book)
    cli(
        "brew",
        "start",
        "Orchard",
        EXAMPLE / "plan.toml",
        *book,
        "--draws",
        "1000",
        "--at",
        "2026-03-14T09:00",
    )
    cli("brew", "read", "Orchard", "fermenters", "33 L", *book, "--at", FILLED.isoformat())
    for day, value in ((5, "1.016"), (9, "1.012"), (14, "1.012"), (20, "1.012")):
        at = (FILLED + timedelta(days=day)).isoformat()
        cli("brew", "read", "Orchard", "portion.bottles ferment", value, *book, "--at", at)
    return lambda *args: ("pack", "Orchard", "bottles", *book, *args)


def test_a_portion_is_packed_printed_and_written_down(pack, tmp_path):
    sheet, labels = tmp_path / "sheet.pdf", tmp_path / "labels.pdf"
    answer = cli(
        *pack("--bottles", "12 x third-litre beer bottle", "--keg", "9 L", "--volumes", "2.2", *USUAL),
        *("--sheet", sheet, "--labels", labels, "--write"),
    )

    assert (answer.code, answer.err) == (0, "")
    told = " ".join(answer.out.split())
    assert "12 third-litre" in told
    assert "g of table sugar. Boil it in a little water" in told
    assert "into the keg of 9 L. Set 0." in told
    assert "10 to 14 days" in told
    assert "▲ Pressure in glass injures" in told
    assert sheet.read_bytes().startswith(b"%PDF")
    assert labels.read_bytes().startswith(b"%PDF")


def test_a_refusal_is_a_sentence_with_what_to_do_instead_and_no_sugar(pack, tmp_path):
    sheet = tmp_path / "sheet.pdf"
    lively = ("--bottles", "all thin bottle", "--volumes", "3", *USUAL, "--sheet", sheet, "--write")
    answer = cli(*pack(*lively))

    assert answer.code == 1
    assert "▲ No priming sheet: the odds that a bottle passes its limit at 18 °C are" in answer.out
    assert "- Less sugar: at 2." in answer.out
    assert "- Stronger bottles: in a " in answer.out
    assert "sugar." not in answer.out
    assert "written" not in answer.out
    assert not sheet.exists()
    assert cli(*pack(*lively, "--json")).json["bulk"] is None

    again = cli(*pack(*lively, "--reason", "for a party this evening"))

    assert again.code == 0
    assert "▲ Packed against the odds, for this reason: for a party this evening" in again.out
    assert sheet.exists()


def test_what_is_not_understood_is_told_all_at_once(pack):
    said = refusal(*pack("--bottles", "some bottles", "--keg", "9", "--accept", "never", "--volumes", "much"))

    assert all(
        where in said for where in ("bottles: “some bottles”", "kegs: “9”", "accepted odds", "volumes")
    )


def test_units_of_another_brewer_are_read_and_shown(pack):
    answer = cli(*pack("--bottles", "6 beer bottle, 12 fl oz", "--volumes", "2.2", *USUAL, "--units", "us"))

    assert answer.code == 0
    assert " psi" in answer.out
    assert "64 °F" in answer.out


def test_labels_alone_want_a_portion_that_is_packed(pack, tmp_path):
    assert "write down first that it is packed" in refusal(*pack("--labels", tmp_path / "labels.pdf"))
    assert "none was named" in refusal(*pack())
