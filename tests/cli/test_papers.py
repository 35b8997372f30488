"""What the command line leaves behind: a sheet, a schema, a demo day."""

from __future__ import annotations

import tomllib

import pytest

from command_line import EXAMPLE, FEW, PRACTICE, cli


def test_a_sheet_is_a_pdf(shed):
    out = shed / "sheet.pdf"
    answer = cli("sheet", shed / "plan.toml", "-o", out, *FEW)
    assert (answer.code, answer.err) == (0, "")
    assert str(out) in answer.out
    assert out.read_bytes().startswith(b"%PDF-")


def test_a_solved_plan_is_a_plan_that_forecasts_the_same(shed):
    out = shed / "solved.toml"
    assert cli("solve", shed / "plan.toml", "-o", out).code == 0
    open_, given = (cli("forecast", shed / name, "--json").json for name in ("plan.toml", "solved.toml"))
    for name in ("og", "fermenters.volume_l", "ibu"):
        # Amounts are written to four figures, which is finer than any scale in a brewery.
        assert given[name]["median"] == pytest.approx(open_[name]["median"], rel=5e-4)


@pytest.mark.parametrize("kind", ["plan", "brewery"])
@pytest.mark.parametrize("folder", [EXAMPLE, PRACTICE], ids=lambda path: path.name)
def test_the_schema_describes_every_key_of_the_examples(kind, folder):
    schema = cli("schema", kind).json
    with (folder / f"{kind}.toml").open("rb") as file:
        undescribed = list(_undescribed(tomllib.load(file), schema, schema, kind))
    assert undescribed == []


def _undescribed(value, schema, whole, path):
    """Every key of a file that the schema does not know or says nothing about."""
    shapes = _shapes(schema or {}, whole)
    if isinstance(value, list):
        items = [shape["items"] for shape in shapes if "items" in shape]
        for part in value if items else ():
            yield from _undescribed(part, items[0], whole, path)
    if not isinstance(value, dict):
        return
    for key, part in value.items():
        own = next((s["properties"][key] for s in shapes if key in s.get("properties", {})), None)
        by_name = next((s["additionalProperties"] for s in shapes if s.get("additionalProperties")), None)
        by_name = by_name or next((p for s in shapes for p in s.get("patternProperties", {}).values()), None)
        if own is None and by_name is None:
            yield f"{path}.{key}: unknown"
        elif own is not None and not own.get("description"):
            yield f"{path}.{key}: no description"
        yield from _undescribed(part, own if own is not None else by_name, whole, f"{path}.{key}")


def _shapes(schema, whole):
    """The plain schemas that a schema with references and alternatives stands for."""
    if "$ref" in schema:
        name = schema["$ref"].rsplit("/", 1)[-1]
        return _shapes(whole["$defs"][name], whole)
    for key in ("anyOf", "oneOf", "allOf"):
        if key in schema:
            return [shape for part in schema[key] for shape in _shapes(part, whole)]
    return [schema]


def test_the_demo_leaves_a_sheet_pictures_and_a_book(tmp_path):
    folder = tmp_path / "demo"
    answer = cli("demo", "--folder", folder)
    assert (answer.code, answer.err) == (0, "")
    assert (folder / "sheet.pdf").read_bytes().startswith(b"%PDF-")
    for name in ("run.svg", "run-after-readings.svg"):
        assert "<svg" in (folder / name).read_text(encoding="utf-8")
    assert (folder / "demo.gyle").stat().st_size > 0
    for part in ("Before → after", "What can be done", "Limits", "into the fermenters"):
        assert part in answer.out


def test_the_demo_can_be_run_again_and_leaves_other_files_alone(tmp_path):
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    for _ in range(2):
        assert cli("demo", "--folder", tmp_path).code == 0
    assert (tmp_path / "notes.txt").read_text(encoding="utf-8") == "mine"
    listed = cli("book", "show", "--book", tmp_path / "demo.gyle", "--json").json
    assert len(listed["brews"]) == 1
