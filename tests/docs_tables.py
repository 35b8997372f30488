"""Fill in the tables of the manual that the program knows better than any writer.

In:  the pages in docs/, with places marked `<!-- table NAME -->` and `<!-- end -->`.
Out: the same pages with each table as the program states it; `python tests/docs_tables.py` writes them.

Idea: a table copied by hand is wrong after the next change, so each is made from what it describes: keys
from the JSON Schema, options from the commands, figures and sources from their one declaration.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import click

from docs_figures import curve_rows, figure_rows
from gylebook.exchange.readings_file import ReadingsTable
from gylebook.exchange.schema import schema_of
from gylebook.exchange.table_rows import SHEETS, Sheet
from gylebook.faces.cli import main
from gylebook.figures.sources import SOURCES
from gylebook.gyle.belonging import BOTTLE, HEAT, INSTRUMENT, MALT, RULES, WATER, YEAST
from gylebook.tasks.files import SCHEMAS

ROOT = Path(__file__).parents[1]
PAGES = sorted((ROOT / "docs").glob("*.md"))
PLACE = re.compile(r"(<!-- table (.+?) -->\n).*?(<!-- end -->)", re.DOTALL)

Schema = Mapping[str, Any]


def tables() -> dict[str, str]:
    """Every table by the name of its place."""
    out: dict[str, str] = {}
    files = {
        "plan": SCHEMAS["plan"](),
        "brewery": SCHEMAS["brewery"](),
        "readings": schema_of(ReadingsTable, "readings"),
        "wish": SCHEMAS["wish"](),
        "larder": SCHEMAS["larder"](),
    }
    for file, schema in files.items():
        elsewhere = set(files["plan"]["$defs"]) if file == "wish" else set()  # told with the plan
        for name, table in _schema_tables(file, schema, schema["$defs"], elsewhere):
            out[name] = _table(("key", "what it is", "may be", "if left out"), _key_rows(table))
    for name, sheet in SHEETS.items():
        out[f"table of {name}"] = _table(("column", "what it holds", "if left empty"), _column_rows(sheet))
    for name, command in commands(main):
        out[name] = _table(("", "what it is", "if left out"), _option_rows(command))
    out["figures"] = _table(("figure", "unit", "level ± scatter", "source"), figure_rows())
    out["what is learned"] = _table(
        ("figure", "share between houses", "tie to another kind", "tie to other gear", "turn by doubling of"),
        _rule_rows(),
    )
    out["figures of a curve"] = _table(("figure", "unit", "level ± scatter", "source"), curve_rows())
    out["sources"] = _table(
        ("key", "source", "how well confirmed"),
        ((f"`{source.key}`", source.citation, source.note) for source in SOURCES.values()),
    )
    return out


def _rule_rows() -> Iterator[tuple[str, ...]]:
    by_size = {"grain_kg": "the grain", "liquor_l": "the liquor", "surface_m2": "the open surface"}
    named = {
        **RULES,
        **{f"grist.KEY.{what}": MALT for what in ("distilled_ph", "acidity", "buffering")},
        **{f"water.KEY.{what}": rule for what, rule in WATER.items()},
        "acid.KEY.strength": BOTTLE,
        "salt.KEY.acting": BOTTLE,
        "heat.KEY.net_share": HEAT,
        "portion.KEY.attenuation": YEAST,
        "instrument.KEY.bias": INSTRUMENT,
    }
    for name, rule in named.items():
        turn = f"{rule.turn:g}, {by_size[rule.measure]}" if rule.measure else ""
        yield f"`{name}`", f"{rule.share:g}", f"{rule.tied_kind:g}", f"{rule.tied_gear:g}", turn


def filled(text: str) -> str:
    """A page with its tables made anew."""
    made = tables()
    return PLACE.sub(lambda place: f"{place[1]}\n{made[place[2]]}\n{place[3]}", text)


def commands(group: click.Group, stem: str = "gylebook") -> Iterator[tuple[str, click.Command]]:
    """Every command that does something, by what one types for it."""
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        if isinstance(command, click.Group):
            yield from commands(command, f"{stem} {name}")
        elif command is not None:
            yield f"{stem} {name}", command


def _schema_tables(
    name: str, table: Schema, defs: Mapping[str, Schema], elsewhere: set[str]
) -> Iterator[tuple[str, Schema]]:
    yield name, table
    told: set[str] = set()
    for key, part in table["properties"].items():
        path, target = f"{name}.{key}", part.get("$ref")
        if "items" in part:
            target = part["items"].get("$ref")
        elif "patternProperties" in part:
            path, target = f"{path}.KEY", _any_key(part).get("$ref")
        elif isinstance(part.get("additionalProperties"), dict):
            path, target = f"{path}.KEY", part["additionalProperties"]["$ref"]
        elif "anyOf" in part:
            target = part["anyOf"][0].get("$ref")
        short = (target or "").rpartition("/")[2]
        if target is not None and short not in told | elsewhere:  # two keys of one kind are told once
            told.add(short)
            yield from _schema_tables(path, defs[short], defs, elsewhere)


def _any_key(part: Schema) -> Schema:
    """What a table of things by their key holds."""
    found: Schema = next(iter(part["patternProperties"].values()))
    return found


def _key_rows(table: Schema) -> Iterator[tuple[str, ...]]:
    for key, part in table["properties"].items():
        yield f"`{key}`", part["description"], _may_be(part), _left_out(key, part, table)


def _may_be(part: Schema) -> str:
    if "enum" in part:
        return ", ".join(f"`{value}`" for value in part["enum"])
    if part.get("type") == "boolean":
        return "`true`, `false`"
    if "$comment" in part:
        return f'`"{part["examples"][0]}"`; {part["$comment"]}'
    if "anyOf" in part and "$ref" in part["anyOf"][0]:
        short = part["anyOf"][1]
        return f'`"{short["examples"][0]}"`, or a table; {short["$comment"]}'
    if "anyOf" in part:
        number = part["anyOf"][0]
        return f"`{part['examples'][0]}`; from {number['minimum']:g} to {number['maximum']:g}"
    if part.get("type") == "array" and "$ref" not in part["items"]:
        inner = part["items"]
        return (
            f'`["{inner["examples"][0]}"]`; {inner["$comment"]}' if "$comment" in inner else "a list of texts"
        )
    if "patternProperties" in part and "$comment" in _any_key(part):
        pairs = ", ".join(f'{key} = "{value}"' for key, value in part["examples"][0].items())
        return f"`{{ {pairs} }}`; {_any_key(part)['$comment']}"
    if part.get("type") == "string" or ("type" not in part and "$ref" not in part):
        return f'`"{part["examples"][0]}"`' if "examples" in part else "a text"
    return "tables" if part.get("type") in ("array", "object") else "a table"


def _left_out(key: str, part: Schema, table: Schema) -> str:
    if key in table.get("required", ()):
        return "**refused**"
    default = part.get("default")
    if isinstance(default, bool):
        return f"`{str(default).lower()}`"
    if isinstance(default, float):
        return f"`{default:g}`"
    return f'`"{default}"`' if default else ""


def _column_rows(sheet: Sheet[Any]) -> Iterator[tuple[str, ...]]:
    for column, kind in sheet.columns.items():
        yield f"`{column}`", kind.wanted, "" if kind.optional else "**refused**"


def _option_rows(command: click.Command) -> Iterator[tuple[str, ...]]:
    for parameter in command.params:
        if isinstance(parameter, click.Argument):
            values = "|".join(parameter.type.choices) if isinstance(parameter.type, click.Choice) else ""
            yield f"`{parameter.human_readable_name}`", values.replace("|", " or "), "**refused**"
        elif isinstance(parameter, click.Option):
            words = ", ".join(f"`{word}`" for word in parameter.opts)
            default = f"`{parameter.default}`" if parameter.show_default and parameter.default else ""
            yield words, parameter.help or "", "**refused**" if parameter.required else default


def _table(titles: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    lines = [titles, *rows]
    written = [f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in line)} |" for line in lines]
    rule = "|" + "---|" * (written[0].count(" | ") + 1)
    return "\n".join((written[0], rule, *written[1:])) + "\n"


if __name__ == "__main__":
    for page in PAGES:
        page.write_text(filled(page.read_text(encoding="utf-8")), encoding="utf-8")
