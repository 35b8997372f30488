"""Write the liquor of a plan, and what goes into it, as TOML.

In:  a `Liquor`.
Out: the lines of `[liquor]`, of the tables inside it, and of `[[doses]]`.

Idea: salts and acids are written by their name, as a brewer calls them; what has one plain default is left
out where it has that.
"""

from __future__ import annotations

from collections.abc import Iterator

from gylebook.brewery.plan import Liquor
from gylebook.brewery.water import Dose, IonAim
from gylebook.exchange.models_liquor import NO_ALKALI, USUAL
from gylebook.exchange.substances import acids, salts
from gylebook.exchange.toml_lines import (
    Line,
    bare_key,
    percent,
    quantity,
    quoted,
    table,
)


def liquor_lines(liquor: Liquor) -> Iterator[str]:
    """Every line of `[liquor]` and of the tables inside it."""
    yield from table(
        "[liquor]",
        ("mash", quantity(liquor.mash_l, "L")),
        ("rinse", quantity(liquor.rinse_l, "L")),
        ("kettle", quantity(liquor.kettle_l, "L")),
        *_treatment(liquor),
    )
    if liquor.waters:
        yield from table(
            "[liquor.waters]", *((bare_key(key), percent(share)) for key, share in liquor.waters)
        )
    for heading, aims in {"ions": liquor.ions, "rinse_ions": liquor.rinse_ions}.items():
        if aims:
            yield from table(f"[liquor.{heading}]", *((aim.ion, _wanted(aim)) for aim in aims))


def dose_lines(doses: tuple[Dose, ...]) -> Iterator[str]:
    """One `[[doses]]` for each; amounts keep nine decimals."""
    for dose in doses:
        substance = salts()[dose.of] if dose.kind == "salt" else acids()[dose.of]
        yield from table(
            "[[doses]]",
            ("of", quoted(substance.name)),
            ("into", quoted(dose.into)),
            ("amount", quantity(dose.amount, "mL" if substance.poured else "g")),
        )


def _treatment(liquor: Liquor) -> list[Line]:
    alkali = salts()[liquor.alkali].name if liquor.alkali else NO_ALKALI
    at_hand = [quoted(salts()[key].name) for key in liquor.salts]
    return [
        ("diluted_with", None if liquor.diluted_with is None else quoted(liquor.diluted_with)),
        ("salts", f"[{', '.join(at_hand)}]" if liquor.salts != USUAL.salts else None),
        ("acid", quoted(acids()[liquor.acid].name) if liquor.acid != USUAL.acid else None),
        ("alkali", quoted(alkali) if liquor.alkali != USUAL.alkali else None),
        ("rinse_alkalinity", quantity(liquor.rinse_alkalinity, "mEq/L")),
        (
            "against_chlorine",
            quoted(liquor.against_chlorine) if liquor.against_chlorine != USUAL.against_chlorine else None,
        ),
    ]


def _wanted(aim: IonAim) -> str | None:
    unit = "mg/L CaCO3" if aim.ion == "alkalinity" else "mg/L"
    if aim.least == 0.0 and aim.most is None:
        return quantity(aim.mg_per_l, unit)
    parts = {
        "aim": quantity(aim.mg_per_l, unit),
        "least": quantity(aim.least, unit) if aim.least else None,
        "most": quantity(aim.most, unit),
    }
    return f"{{ {', '.join(f'{key} = {value}' for key, value in parts.items() if value is not None)} }}"
