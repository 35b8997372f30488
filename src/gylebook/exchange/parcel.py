"""Pack a beer into one text file for another brewer, and unpack it with care.

In:  `Parcel`: a plan as typed and as solved, the beer's own numbers, a forecast, a chosen name and note.
Out: TOML text, the same for the same parcel; and `Parcel` again, or `Refused` with what is wrong with it.

Idea: the seal is a SHA-256 over the content in one canonical writing, so that it survives other line endings
and finds any change of content.  Anyone can make a seal: it proves no author, and is told so.  The format
comes first and the seal second, since a newer format may be sealed in another way.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from gylebook.brewery.beer import Beer
from gylebook.brewery.plan import Plan
from gylebook.errors import Problem, Refused
from gylebook.exchange.models_parcel import MOST_NAME, MOST_NOTE, ParcelTable
from gylebook.exchange.plan_file import read_plan, write_plan
from gylebook.exchange.refusals import judge
from gylebook.exchange.toml_lines import bare_key, quoted
from gylebook.exchange.toml_text import decoded, parse
from gylebook.figures.draws import Summary

FORMAT = 1
LARGEST = 400_000  # bytes; a common parcel has ten thousand
SEALED = "sha256:"
ASK_AGAIN = "ask its sender for another copy; the seal finds damage, it cannot mend it."


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """A beer for another brewery.  `sender` and `note` are what the sender chose to tell, nothing else is."""

    asked: Plan
    solved: Plan
    beer: Beer
    numbers: Mapping[str, Summary]
    sender: str = ""
    note: str = ""
    made_by: str = ""


def write_parcel(parcel: Parcel) -> str:
    """The text of a parcel, sealed.  Raises Refused for a name or a note that it cannot carry."""
    _refuse_unsayable(parcel)
    content = _content(parcel)
    text = _text(content, seal_of(content))
    read_parcel(text, where="parcel")  # what could not be read again must not be sent
    return text


def seal_of(content: Mapping[str, Any]) -> str:
    """SHA-256 over all of a parcel's content but the seal itself."""
    told = {key: value for key, value in content.items() if key != "seal"}
    canonical = json.dumps(told, sort_keys=True, separators=(",", ":"), default=str)
    return SEALED + hashlib.sha256(canonical.encode()).hexdigest()


def read_parcel(text: str | bytes, *, where: str) -> Parcel:
    """The parcel that a text holds.

    Raises
    ------
    Refused
        If it is no parcel, of a newer format, damaged, or holds what no beer can be.
    """
    if len(text) > LARGEST:
        raise Refused([Problem(where, f"{len(text):,} bytes", f"a parcel has at most {LARGEST:,} bytes.")])
    if not decoded(text, where).strip():
        raise Refused([Problem(where, "empty", "a parcel is a text file that gylebook send wrote.")])
    try:
        parsed = parse(text, where=where)
    except Refused as refused:
        raise Refused([*_damaged(where, "it cannot be read"), *refused.problems]) from None
    if parsed.faults:
        raise Refused([*_damaged(where, "it cannot be read"), *parsed.faults])
    _refuse_another_format(parsed.tables, where)
    if parsed.tables.get("seal") != seal_of(parsed.tables):
        raise Refused(_damaged(where, "its content and its seal do not agree: damaged or changed on the way"))
    table, problems = judge(ParcelTable, parsed)
    if table is None or problems:
        raise Refused(problems)
    parcel = Parcel(
        asked=read_plan(table.plan, where=f"{where}, plan"),
        solved=read_plan(table.amounts, where=f"{where}, amounts"),
        beer=table.beer.noun(),
        numbers=table.numbers(),
        sender=table.sender,
        note=table.note,
        made_by=table.made_by,
    )
    _refuse_strange_parts(parcel, where)
    return parcel


def _refuse_unsayable(parcel: Parcel) -> None:
    """A name and a note are one line each."""
    problems = [
        Problem(
            what, f"“{' '.join(given.split())[:60]}”", f"one line of at most {most} characters is wanted."
        )
        for what, given, most in (("name", parcel.sender, MOST_NAME), ("note", parcel.note, MOST_NOTE))
        if len(given) > most or not given.isprintable() or given != given.strip()
    ]
    if problems:
        raise Refused(problems)


def _damaged(where: str, how: str) -> list[Problem]:
    return [Problem(where, how, ASK_AGAIN)]


def _refuse_another_format(tables: Mapping[str, Any], where: str) -> None:
    given = tables.get("parcel")
    if type(given) is not int:
        accepted = "a parcel states its format, parcel = 1; a plan file is read by the other commands."
        raise Refused([Problem(where, "not a parcel", accepted)])
    if given != FORMAT:
        age = "newer than this gylebook knows" if given > FORMAT else "no format there ever was"
        accepted = f"this gylebook reads format {FORMAT}: take a newer gylebook, or ask for an older parcel."
        raise Refused([Problem(where, f"format {given}, {age}", accepted)])


def _refuse_strange_parts(parcel: Parcel, where: str) -> None:
    """Both plans and the beer have to speak of the same things, and the solved one leave nothing open."""
    asked, solved, beer = parcel.asked, parcel.solved, parcel.beer
    told = {
        "portions": ([p.key for p in asked.portions], [p.key for p in solved.portions]),
        "beer.portions": ([p.key for p in asked.portions], [p.key for p in beer.portions]),
        "grist": ([g.key for g in asked.grist], [g.key for g in solved.grist]),
        "hops": ([h.key for h in asked.hops], [h.key for h in solved.hops]),
        "starters": ([s.key for s in asked.starters], [s.key for s in solved.starters]),
        "additions": ([a.key for a in asked.additions], [a.key for a in solved.additions]),
        "beer.hop_ibu": ([h.key for h in asked.hops], [key for key, _ in beer.hop_ibu]),
    }
    problems = [
        Problem(f"{where}, {part}", ", ".join(there) or "none", f"the plan has {', '.join(plan) or 'none'}.")
        for part, (plan, there) in told.items()
        if plan != there
    ]
    without = [g.key for g in solved.grist if g.mass_kg is None]
    without += [h.key for h in solved.hops if h.mass_kg is None]
    if without or (solved.grist and not sum(grain.mass_kg or 0.0 for grain in solved.grist)):
        understood = f"no mass for {', '.join(without) or 'the grist'}"
        problems.append(Problem(f"{where}, amounts", understood, "every amount is given there."))
    if solved.grist and not solved.liquor.mash_l:
        problems.append(
            Problem(f"{where}, amounts", "no liquor for the mash", "every amount is given there.")
        )
    if problems:
        raise Refused(problems)


def _content(parcel: Parcel) -> dict[str, Any]:
    beer = parcel.beer
    content: dict[str, Any] = {"parcel": FORMAT, "made_by": parcel.made_by}
    if parcel.sender:
        content["sender"] = parcel.sender
    if parcel.note:
        content["note"] = parcel.note
    own = {
        "volume_l": beer.volume_l,
        "kettle_l": beer.kettle_l,
        "plato": beer.plato,
        "ibu": beer.ibu,
        "colour_srm": beer.colour_srm,
        "mash_ph": beer.mash_ph,
        "late_ibu": beer.late_ibu,
        "chill_min": beer.chill_min,
    }
    content["beer"] = {
        **{key: float(value) for key, value in own.items() if value is not None},
        **({"ions": {ion: float(mg) for ion, mg in beer.ions}} if beer.ions else {}),
        **({"hop_ibu": {key: float(ibu) for key, ibu in beer.hop_ibu}} if beer.hop_ibu else {}),
        "portions": [
            {
                "key": one.key,
                "volume_l": float(one.volume_l),
                "most_l": float(one.most_l),
                "pitched": float(one.pitched),
                "packs_needed": float(one.packs_needed),
            }
            for one in beer.portions
        ],
    }
    content["forecast"] = {
        name: [float(x) for x in (told.median, told.low, told.high, told.mean, told.sd)]
        for name, told in parcel.numbers.items()
    }
    content["plan"] = write_plan(parcel.asked)
    content["amounts"] = write_plan(parcel.solved)
    return content


def _text(content: Mapping[str, Any], seal: str) -> str:
    return "\n".join(_lines(content, seal)) + "\n"


def _lines(content: Mapping[str, Any], seal: str) -> Iterator[str]:
    yield "# A gylebook parcel: one beer, to be brewed on another brewery.  Open it with: gylebook receive"
    yield "# The seal finds damage on the way.  It does not prove who packed it."
    yield ""
    for key in ("parcel", "made_by", "sender", "note"):
        if key in content:
            value = content[key]
            yield f"{key} = {value if isinstance(value, int) else quoted(value)}"
    yield f"seal = {quoted(seal)}"
    for key in ("plan", "amounts"):
        yield ""
        yield f"{key} = {_long(content[key])}"
    beer = content["beer"]
    yield ""
    yield "[beer]"
    for key, value in beer.items():
        if isinstance(value, float):
            yield f"{key} = {value!r}"
    for part in ("ions", "hop_ibu"):
        if part in beer:
            yield ""
            yield f"[beer.{part}]"
            yield from (f"{bare_key(key)} = {value!r}" for key, value in beer[part].items())
    for portion in beer["portions"]:
        yield ""
        yield "[[beer.portions]]"
        for key, value in portion.items():
            yield f"{key} = {quoted(value) if isinstance(value, str) else repr(value)}"
    yield ""
    yield "[forecast]"
    for name, five in content["forecast"].items():
        yield f"{quoted(name)} = [{', '.join(map(repr, five))}]"


def _long(text: str) -> str:
    """A text of many lines, to be read as it stands where that is the same text."""
    plain = all(sign == "\n" or sign == "\t" or (sign >= " " and sign != "\x7f") for sign in text)
    return f"'''\n{text}'''" if plain and "'''" not in text else quoted(text)
