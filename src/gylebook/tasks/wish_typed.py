"""Make a wish of what was typed into a form.

In:  texts, as typed, of the wort and of each beer.
Out: `wish_text`, the text of a wish file; `fields_of`, which field each of its problems is about.

Idea: the form is judged by the reader of the file, so that both refuse alike and no rule stands twice.  A
bare number gets the unit that the field's own label names.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from gylebook.errors import Problem
from gylebook.exchange.models_wish import AIMLESS
from gylebook.exchange.naming import slug
from gylebook.exchange.toml_lines import quoted
from gylebook.figures.quantity_text import with_unit

FROM_TO = re.compile(r"\s*(?:–|—|\bto\b|(?<=[\w%P])\s*-\s*)\s*")
AIMS = ("gravity", "end", "alcohol", "bitterness", "colour")
LATER_AFTER, LATER_MONTHS = "21 d", 6
# What any beer may get where it is allowed; the most of each.
HOP_TEA = ("60 g", "1.5 L", "30 min")
BOILED_APART = ("3 L", "0.6 L")  # of the beer's own wort, where its hops boil in that, and what goes as steam
GRAIN_TEA = ("roasted barley", "0.6 kg", "2.5 L")
SUGAR = ("table sugar", "0.6 kg")
AGEING = "Brettanomyces secondary"
OF_A_LIST = re.compile(r"\(([A-Z]{2,4}\d{4}-[\w-]+)\)\s*$")
# Fields of what the beers share and what to call them, by the table of a wish that they stand in.
SHARED = {
    "name": ("name", "name of the gyle"),
    "process": ("kind", "how it is mashed"),
    "grist": ("share1", "shares of the grain"),
    "mash": ("mash", "mash"),
    "boil": ("boil", "boil"),
    "hops": ("hop", "hop of the kettle"),
    "hop_tea": ("hop", "hop of the kettle"),
}
PLACE = re.compile(r"^wish(?: line \d+)?,? ?")


@dataclass(frozen=True, slots=True, kw_only=True)
class BeerTyped:
    """One beer as it was typed."""

    name: str
    fermenter: str
    style: str = ""
    volume: str = ""
    aims: Mapping[str, str]  # by the keys of AIMS
    yeasts: tuple[str, ...] = ()
    later: str = ""
    package: str = "keg"
    may: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WishTyped:
    """A whole form; `grains` and `darker` are names with a share or a most."""

    name: str
    kind: str
    grains: tuple[tuple[str, str], ...]
    darker: tuple[tuple[str, str], ...]
    mash: str
    boil: str
    hop: str
    alpha: str
    beers: tuple[BeerTyped, ...]
    hops_in: str = "water"
    volume_unit: str = "L"
    colour_unit: str = "EBC"


def wish_text(typed: WishTyped) -> str:
    """The wish as a file."""
    return "\n".join(_lines(typed)) + "\n"


def _lines(typed: WishTyped) -> Iterator[str]:
    yield f"name = {quoted(typed.name)}"
    yield from ("", "[process]", f"kind = {quoted(typed.kind)}")
    for grain, share in typed.grains:
        yield from ("", "[[grist]]", f"grain = {quoted(grain)}", f"share = {quoted(with_unit(share, '%'))}")
    for grain, most in typed.darker:
        yield from ("", "[[colour_grains]]", f"grain = {quoted(grain)}")
        yield f"at_most = {quoted(with_unit(most, '%'))}"
    yield from ("", "[[mash]]", f"temperature = {quoted(typed.mash)}", 'time = "60 min"')
    yield from ("", "[boil]", f"time = {quoted(with_unit(typed.boil, 'min'))}")
    alpha = [f"alpha = {quoted(with_unit(typed.alpha, '%'))}"] if typed.alpha else []
    if typed.hop:
        yield from ("", "[[hops]]", f"variety = {quoted(typed.hop)}", *alpha)
        yield from (f"time = {quoted(with_unit(typed.boil, 'min'))}", 'bitterness_share = "100 %"')
        mass, water, minutes = (quoted(part) for part in HOP_TEA)
        wort, steam = (quoted(part) for part in BOILED_APART)
        pot = [f"wort = {wort}", f"boils_off = {steam}"] if typed.hops_in == "wort" else [f"water = {water}"]
        yield from ("", "[hop_tea]", f"variety = {quoted(typed.hop)}", *alpha)
        yield from (f"mass = {mass}", *pot, f"time = {minutes}")
    grain, mass, water = (quoted(part) for part in GRAIN_TEA)
    yield from ("", "[grain_tea]", f"grain = {grain}", f"mass = {mass}", f"water = {water}")
    sugar, mass = (quoted(part) for part in SUGAR)
    yield from ("", "[sugar]", f"name = {sugar}", f"mass = {mass}")
    yield from ("", "[ageing]", f"kind = {quoted(AGEING)}", f"after = {quoted(LATER_AFTER)}")
    yield f"months = {LATER_MONTHS}"
    for kind in dict.fromkeys(kind for beer in typed.beers for kind in beer.yeasts):
        yield from ("", "[[yeasts]]", f"kind = {quoted(kind)}", 'form = "dry"')
        yield from ('cells = "200 billion"', 'age = "60 d"')
    for key, beer in zip(_keys(typed.beers), typed.beers, strict=True):
        yield from _beer(key, beer, typed)


def _beer(key: str, beer: BeerTyped, typed: WishTyped) -> Iterator[str]:
    yield from ("", f"[beers.{quoted(key)}]", f"name = {quoted(beer.name)}")
    yield f"fermenter = {quoted(beer.fermenter)}"
    if beer.volume:
        yield f"volume = {quoted(with_unit(beer.volume, typed.volume_unit))}"
    if beer.style:
        code = OF_A_LIST.search(beer.style)  # “Oatmeal Stout (BJCP2021-16B)”
        yield f"style = {quoted(code[1] if code else beer.style)}"
    units = {"alcohol": "%", "bitterness": "IBU", "colour": typed.colour_unit}
    for aim in AIMS:
        if beer.aims.get(aim):
            ends = [with_unit(end, units.get(aim, "")) for end in FROM_TO.split(beer.aims[aim]) if end]
            yield f"{aim} = [{', '.join(quoted(end) for end in ends)}]"
    yield f"may = [{', '.join(quoted(one) for one in beer.may)}]"
    yield f"yeasts = [{', '.join(quoted(kind) for kind in beer.yeasts)}]"
    volumes = {"keg": "2.4", "bottles": "2.5"}.get(beer.package)
    gas = f", co2 = {quoted(volumes)}" if volumes else ""
    yield f"package = {{ kind = {quoted(beer.package)}{gas} }}"
    if beer.later:
        after = f"after = {quoted(LATER_AFTER)}, months = {LATER_MONTHS}"
        yield f"later = {{ kind = {quoted(beer.later)}, {after} }}"


def _keys(beers: Sequence[BeerTyped]) -> list[str]:
    """A key for each beer, made of its name."""
    keys: list[str] = []
    for number, beer in enumerate(beers, 1):
        key = slug(beer.name)[:50] or f"beer-{number}"
        keys.append(f"{key}-{number}" if key in keys or key in ("boil", "kettle-end") else key)
    return keys


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldProblem:
    """Something that was not accepted, and the field of the form that it is about, where it is of one."""

    field: str
    label: str
    problem: Problem


def fields_of(typed: WishTyped, problems: Sequence[Problem]) -> tuple[FieldProblem, ...]:
    """The fields that problems of the wish's text are about."""
    return tuple(_field(_in_the_form(one), _keys(typed.beers), typed.beers) for one in problems)


def _in_the_form(problem: Problem) -> Problem:
    """The problem in words that do not show how a file is written."""
    if problem.understood != AIMLESS:
        return problem
    return replace(problem, accepted="name a style, or give a figure of its own.")


def _field(problem: Problem, keys: Sequence[str], beers: Sequence[BeerTyped]) -> FieldProblem:
    path = PLACE.sub("", problem.where)
    for number, key in enumerate(keys, 1):
        found = re.match(rf'beers\."?{re.escape(key)}"?(?:\.(\w+))?', path)
        if found:
            named = found[1] or "name"
            field = {"yeasts": "yeast", "later": "later"}.get(named, named)
            name = beers[number - 1].name or f"beer {number}"
            return FieldProblem(field=f"b{number}_{field}", label=f"{name}, {field}", problem=problem)
    for pattern, field, label in (
        (r"grist\[(\d+)\]", "grain", "grain"),
        (r"colour_grains\[(\d+)\]", "dark", "darker grain"),
    ):
        found = re.match(pattern, path)
        if found:
            line = int(found[1])
            return FieldProblem(field=f"{field}{line}", label=f"{label} {line}", problem=problem)
    head = re.split(r"[.\[]", path)[0]
    field, label = SHARED.get(head, ("", path))
    return FieldProblem(field=field, label=label, problem=problem)
