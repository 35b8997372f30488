"""Send the API anything that its own description allows, and much that it does not: it keeps its promises.

For every address: no error of ours (5xx), no status, kind of content or shape that is not described.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from gylebook.faces.web.app import hosts_of, make_app
from gylebook.faces.web.desk import Desk
from gylebook.tasks.at_hand import AtHand
from gylebook.tasks.brews import make_book, start_brew, take_reading
from gylebook.tasks.devices import pair_device
from gylebook.tasks.typed import reading_typed

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
AT = "2026-03-{}T12:00+01:00"
PROMISES = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]
QUICK, LONG = 8, 200  # requests to each address
pytestmark = pytest.mark.filterwarnings("ignore:Using `httpx` with")  # said inside the client's own library


# What the book holds or understands is put in as often as not, so that not all is refused at the door.
PLAN, BREWERY = ((EXAMPLE / f"{name}.toml").read_text() for name in ("plan", "brewery"))
NAMES = {"plan": "Orchard amber", "brewery": tomllib.loads(BREWERY)["name"]}
IN_ADDRESS = {"name": list(NAMES.values()), "brew": ["0"], "portion": ["keg"], "number": [2, 4]}
IN_QUERY = {"version": [1], "up_to": [1, 2], "pitched": [AT.format(14)]}
WISH = """name = "pair"
process = { kind = "full volume" }
grist = [{ grain = "pale ale malt", share = "100 %" }]
mash = [{ temperature = "66 °C", time = "60 min" }]
boil = { time = "60 min" }
yeasts = [{ kind = "American ale, clean", form = "dry", cells = "200 billion" }]
[beers.one]
name = "one"
fermenter = "wide"
gravity = ["1.050"]
package = { kind = "keg" }
[beers.two]
name = "two"
fermenter = "glass"
gravity = ["1.040"]
package = { kind = "keg" }
"""
LARDER = '[[packs]]\nof = "Perle"\nsize = "100 g"\nprice = 4'
OF_TEXTS = {
    "plan": [PLAN],
    "brewery": [BREWERY],
    "draws": [200],
    "wish": [WISH],
    "larder": [LARDER],
    "most": [2],
}
OF_A_BREW = {
    **{name: [value] for name, value in NAMES.items()},
    "plan_version": [None],
    "brewery_version": [None],
}
OF_A_READING = {
    "step": ["preboil", "portion.keg ferment", "fermenters"],
    "value": ["38 L", "1.050", "19 °C", "> 60 L", "pH 5.4"],
    "instrument": [None, "dipstick", "hydrometer"],
    "temperature": [None, "20 °C"],
    "meter": [None],
    "corrects": [None, 2],
}
IN_BODY = {
    "text": [PLAN, BREWERY],
    "at": [AT.format(20), "14:07"],
    "remedy": [1, 2],
    "draws": [200],
    **OF_A_READING,
}


def likelier(case, data) -> None:
    """Put what the book knows in the place of some of what was drawn."""
    body = case.body if isinstance(case.body, dict) else {}
    known = {**IN_BODY, **(OF_A_BREW if case.path == "/api/brews" else OF_TEXTS)}
    for part, knows in ((case.path_parameters, IN_ADDRESS), (case.query, IN_QUERY), (body, known)):
        for name in sorted(set(part) & set(knows)):
            if data.draw(st.integers(0, 3)):
                part[name] = data.draw(st.sampled_from(knows[name]))


@pytest.fixture(scope="module")
def secret() -> dict[str, str]:
    """How a device that may use the book says so."""
    return {}


@pytest.fixture(scope="module")
def described(tmp_path_factory, secret) -> Iterator[object]:
    """The API of a book with one brew, called so that it is found by chance too."""
    location = str(tmp_path_factory.mktemp("any") / "book.gyle")
    make_book(location)
    files = (EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml")
    outlook = start_brew(location, "0", *files, AT.format(14), draws=200).outlook
    for step, value, day in (
        ("preboil", "40 L", 14),
        ("fermenters", "33 L", 14),
        ("portion.keg ferment", "1.020", 18),
    ):
        take_reading(location, "0", reading_typed(outlook, step, value, None, None, AT.format(day)))
    secret["authorization"] = f"Bearer {pair_device(location, 'a program', AT.format(14))}"
    hand = AtHand(location)
    desk = Desk(location=location, hand=hand, hosts=hosts_of(("testserver",)))
    yield schemathesis.openapi.from_asgi("/api/openapi.json", make_app(desk), headers=secret)
    hand.close()


def try_anything(described, secret: dict[str, str], requests: int) -> None:
    """Send so many requests of each kind, as described and not, to every address."""
    tried = 0
    for found in described.get_all_operations():
        for kind in (GenerationMode.POSITIVE, GenerationMode.NEGATIVE):
            try:
                cases = found.ok().as_strategy(generation_mode=kind)
            except Unsatisfiable:  # what takes nothing cannot be sent anything wrong
                continue
            with suppress(Unsatisfiable):
                try_address(cases, kind, secret, requests)
            tried += 1
    assert tried > 30, "the description has lost its addresses"


def try_address(cases, kind: GenerationMode, secret: dict[str, str], requests: int) -> None:
    """Send so many requests of one kind to one address."""

    @settings(max_examples=requests, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
    @given(case=cases, data=st.data())
    def keeps_its_promises(case, data):
        if kind is GenerationMode.POSITIVE:
            likelier(case, data)
        case.call_and_validate(headers=secret, checks=PROMISES)

    keeps_its_promises()


def test_no_request_makes_it_break_a_promise(described, secret):
    try_anything(described, secret, QUICK)


@pytest.mark.long
def test_no_request_of_very_many_makes_it_break_a_promise(described, secret):
    try_anything(described, secret, LONG)
