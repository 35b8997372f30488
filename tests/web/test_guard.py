"""Who gets in and what they may do: each way in that is shut is tried, and the open ones are used."""

from __future__ import annotations

import http.client
import re
import socket
from collections.abc import Iterator
from contextlib import closing
from html.parser import HTMLParser
from pathlib import Path

import httpx
import pytest

from gylebook.faces.web.guard import DEVICE_COOKIE, LARGEST_BODY
from gylebook.faces.web.pairing import PER_SECONDS, TRIES, Pairing
from gylebook.faces.web.serving import serve
from gylebook.tasks.brews import look_at_brew, make_book
from gylebook.tasks.devices import devices, pair_device, revoke_device

BREW = "Orchard amber, first time"
AT = "2026-03-14T09:00+01:00"
NETWORK = "book.test"  # a name under which the served book may be asked for from elsewhere
ELSEWHERE = "https:" + "//evil.example"
FORM = {"content-type": "application/x-www-form-urlencoded"}
PAGES = ("/ledger", f"/ledger/{BREW}", "/cellar", "/devices", "/nowhere", "/start")


@pytest.fixture
def at_home(brewing) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=brewing.address, timeout=60) as client:
        yield client


@pytest.fixture
def phone_outside(open_to_phones) -> Iterator[httpx.Client]:
    """A device on the network, not yet paired; like a browser it says where its requests come from."""
    headers = {"host": NETWORK, "sec-fetch-site": "same-origin"}
    with httpx.Client(base_url=open_to_phones.address, headers=headers, timeout=60) as client:
        yield client


def pair(client: httpx.Client, code: str, name: str = "phone by the kettle") -> httpx.Response:
    return client.post("/pair", data={"code": code, "name": name})


# the name it is asked for under -----------------------------------------------------------------------


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "localhost@evil.example", ""])
def test_a_foreign_name_pointed_here_gets_nothing(at_home, host):
    for path in ("/ledger", "/api/book", "/static/x/style.css"):
        assert at_home.get(path, headers={"host": host}).status_code == 421


def test_loopback_under_its_own_names_is_let_in(at_home):
    for host in ("127.0.0.1:8431", "localhost", "LOCALHOST:1", "[::1]:8431"):
        assert at_home.get("/api/book", headers={"host": host}).status_code == 200


# where a request that changes something comes from ------------------------------------------------------


@pytest.mark.parametrize(
    "said",
    [
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": ELSEWHERE},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site", "origin": "http://127.0.0.1"},
        {},
    ],
)
def test_a_form_that_no_page_of_ours_sent_changes_nothing(at_home, said):
    answer = at_home.post("/units", content="system=us", headers={**FORM, **said})

    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers


@pytest.mark.parametrize("said", [{"sec-fetch-site": "cross-site"}, {"origin": ELSEWHERE}])
def test_json_from_another_site_is_refused_too(at_home, said, brewing):
    before = brewing.desk.hand.newest()

    sent = {"step": "preboil", "value": "38 L"}
    answer = at_home.post(f"/api/brews/{BREW}/readings", json=sent, headers=said)

    assert (answer.status_code, brewing.desk.hand.newest()) == (403, before)


def test_a_form_of_our_own_page_is_taken(at_home, brewing):
    for said in ({"sec-fetch-site": "same-origin"}, {"origin": brewing.address}):
        assert at_home.post("/units", content="system=us", headers={**FORM, **said}).status_code == 303


def test_a_foreign_page_may_not_read_an_answer(at_home):
    headers = at_home.get("/api/book", headers={"origin": ELSEWHERE}).headers

    assert "access-control-allow-origin" not in headers
    assert headers["cross-origin-resource-policy"] == "same-origin"


# what a page may do in the browser ----------------------------------------------------------------------


class Inline(HTMLParser):
    """Finds what a strict policy would refuse: script or style in the page, handlers, foreign addresses."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._inside = ""

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        self._inside = tag
        if tag == "style" or (tag == "script" and not given.get("src")):
            self.found.append(f"<{tag}> in the page")
        for name, value in given.items():
            if name == "style" or name.startswith("on") or "javascript:" in (value or "").lower():
                self.found.append(f"<{tag} {name}={value!r}>")
            if name in ("src", "href", "action") and re.match(r"https?:|//", value or ""):
                self.found.append(f"<{tag} {name}={value!r}> leads elsewhere")


def inline_in(text: str) -> list[str]:
    finder = Inline()
    finder.feed(text)
    return finder.found


def test_every_page_forbids_what_is_not_ours_and_contains_none(at_home):
    for path in PAGES:
        answer = at_home.get(path)
        policy = dict(
            part.strip().split(" ", 1) for part in answer.headers["content-security-policy"].split(";")
        )

        assert policy["default-src"] == "'none'", path
        assert policy["script-src"] == policy["style-src"] == policy["form-action"] == "'self'"
        assert policy["frame-ancestors"] == "'none'"
        assert "unsafe" not in str(policy)
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert inline_in(answer.text) == [], path


def test_no_template_holds_script_or_style():
    folder = Path(__file__).parents[2] / "src/gylebook/faces/web/templates"
    markup = re.compile(r"\{([%{#]).*?[%}#]\}", re.DOTALL)  # of the template language itself
    found = {path.name: inline_in(markup.sub("x", path.read_text())) for path in folder.rglob("*.html")}

    # The day in one file is opened where no server could send either; it is never shown from here.
    assert {name for name, said in found.items() if said} == {"day_sheet.html"}
    assert found["day_sheet.html"] == ["<style> in the page", "<script> in the page"]


def test_the_one_page_with_script_in_it_is_only_saved(at_home):
    answer = at_home.get(f"/day/{BREW}/sheet.html")

    assert answer.status_code == 200
    assert answer.headers["content-disposition"].startswith("attachment")


def test_the_search_for_script_in_a_page_would_find_some():
    for bad in ("<script>x</script>", '<p style="x">', '<a onclick="x">', '<img src="//evil.example/x">'):
        assert inline_in(bad)


def test_a_refusal_carries_the_policy_too(at_home):
    for answer in (
        at_home.get("/ledger", headers={"host": "evil.example"}),
        at_home.post("/units", content="x", headers=FORM),
    ):
        assert "default-src 'none'" in answer.headers["content-security-policy"]


# how much is taken --------------------------------------------------------------------------------------


def test_a_body_that_says_it_is_too_large_is_refused_before_it_is_sent(brewing):
    host, port = brewing.address.removeprefix("http://").split(":")
    with closing(http.client.HTTPConnection(host, int(port), timeout=10)) as line:
        line.putrequest("POST", "/api/plans")
        line.putheader("content-type", "application/json")
        line.putheader("content-length", str(LARGEST_BODY + 1))
        line.endheaders()

        assert line.getresponse().status == 413


def test_a_body_in_pieces_without_its_length_is_cut_off(at_home, brewing):
    piece = b" " * 100_000

    def endless() -> Iterator[bytes]:
        for _ in range(2 * LARGEST_BODY // len(piece)):
            yield piece
        yield b'{"text": ""}'

    headers = {"content-type": "application/json"}
    answer = at_home.post("/api/plans", content=endless(), headers=headers)

    assert answer.status_code == 413
    assert answer.json()["error"]


@pytest.mark.parametrize("length", ["-1", "ten", "1e3", ""])
def test_a_length_that_is_none_is_refused(at_home, length):
    headers = {"content-type": "application/json", "content-length": length}
    with pytest.raises((httpx.HTTPError, AssertionError)):  # the server or the guard, but not a 2xx
        assert at_home.post("/api/plans", content=b"", headers=headers).status_code < 400


# pairing ------------------------------------------------------------------------------------------------


def test_an_unpaired_device_sees_the_form_for_the_code_and_nothing_else(phone_outside):
    for path in ("/", "/ledger", "/cellar", "/devices", f"/ledger/{BREW}"):
        answer = phone_outside.get(path)
        assert (answer.status_code, answer.headers["location"]) == (303, "/pair")
    assert phone_outside.get("/api/book").status_code == 401
    assert phone_outside.post("/api/plans", json={"text": ""}).status_code == 401
    form = phone_outside.get("/pair")
    assert form.status_code == 200
    assert BREW not in form.text


def test_a_wrong_code_lets_nobody_in(phone_outside, open_to_phones):
    answer = pair(phone_outside, "AAAA AAAA")

    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers
    assert devices(open_to_phones.location) == ()


def test_the_right_code_lets_one_device_in_and_no_second(phone_outside, open_to_phones):
    code = open_to_phones.desk.pairing.code

    answer = pair(phone_outside, f"{code[:4].lower()} {code[4:]}")

    assert (answer.status_code, phone_outside.get("/ledger").status_code) == (303, 200)
    with httpx.Client(base_url=open_to_phones.address, headers=phone_outside.headers) as second:
        assert pair(second, code).status_code == 403
        assert second.get("/api/book").status_code == 401


def test_the_secret_is_kept_from_script_and_from_other_sites(phone_outside, open_to_phones):
    cookie = pair(phone_outside, open_to_phones.desk.pairing.code).headers["set-cookie"]

    flags = {part.strip().lower() for part in cookie.split(";")[1:]}
    assert {"httponly", "samesite=lax", "path=/"} <= flags
    assert len(phone_outside.cookies[DEVICE_COOKIE]) >= 43  # 256 bits


def test_the_book_holds_no_secret_that_could_be_used(phone_outside, open_to_phones):
    pair(phone_outside, open_to_phones.desk.pairing.code)
    secret = phone_outside.cookies[DEVICE_COOKIE].encode()

    held = b"".join(path.read_bytes() for path in Path(open_to_phones.location).parent.iterdir())

    assert b"phone by the kettle" in held
    assert secret not in held


def test_codes_cannot_be_tried_without_end(phone_outside, open_to_phones):
    answers = [pair(phone_outside, "AAAA AAAA").status_code for _ in range(TRIES + 1)]

    assert answers == [403] * TRIES + [429]
    assert pair(phone_outside, open_to_phones.desk.pairing.code).status_code == 429  # not even the right one


def test_after_a_while_codes_may_be_tried_again():
    now = [0.0]
    pairing = Pairing(clock=lambda: now[0])
    assert [pairing.may_try("a") for _ in range(TRIES + 1)][-2:] == [True, False]

    now[0] += PER_SECONDS + 1.0

    assert pairing.may_try("a")


def test_many_addresses_together_are_held_back_too():
    pairing = Pairing(clock=lambda: 0.0)

    assert sum(pairing.may_try(f"10.0.{n // 256}.{n % 256}") for n in range(3000)) < 50


def test_a_device_that_is_shut_out_is_out_at_once(phone_outside, open_to_phones):
    pair(phone_outside, open_to_phones.desk.pairing.code)
    assert phone_outside.get("/api/book").status_code == 200
    (device,) = devices(open_to_phones.location)

    with httpx.Client(base_url=open_to_phones.address, headers={"sec-fetch-site": "same-origin"}) as home:
        assert home.post(f"/devices/{device.id}/revoke").status_code == 303

    assert phone_outside.get("/api/book").status_code == 401


def test_a_paired_device_may_let_nobody_in_and_shut_nobody_out(phone_outside, open_to_phones):
    pair(phone_outside, open_to_phones.desk.pairing.code)
    (device,) = devices(open_to_phones.location)

    assert phone_outside.get("/devices").status_code == 404
    assert phone_outside.post(f"/devices/{device.id}/revoke").status_code == 404
    assert phone_outside.get("/api/book").status_code == 200


def test_a_bearer_secret_opens_the_api_over_the_network(open_to_phones):
    secret = pair_device(open_to_phones.location, "logger in the fridge", AT)
    headers = {"host": NETWORK, "authorization": f"Bearer {secret}"}
    with httpx.Client(base_url=open_to_phones.address, headers=headers, timeout=60) as client:
        sent = {"step": "preboil", "value": "40 L", "at": AT}

        assert client.post(f"/api/brews/{BREW}/readings", json=sent).status_code == 201
        (reading,) = [e for e in look_at_brew(open_to_phones.location, BREW).events if e.kind == "reading"]
        assert reading.device == "logger in the fridge"
        revoke_device(open_to_phones.location, devices(open_to_phones.location)[0].id, AT)
        assert client.get("/api/book").status_code == 401


@pytest.mark.parametrize("given", ["Bearer", "Basic abc", "Bearer " + "x" * 5000, "bearer é"])
def test_no_other_word_opens_it(open_to_phones, given):
    headers = {"host": NETWORK, "authorization": given.encode()}
    with httpx.Client(base_url=open_to_phones.address, headers=headers) as client:
        assert client.get("/api/book").status_code == 401


def test_a_book_served_to_this_machine_alone_pairs_with_nobody(at_home, brewing):
    assert at_home.get("/pair").status_code == 404
    assert at_home.get("/pair", headers={"host": NETWORK}).status_code == 303
    assert at_home.get("/api/book", headers={"host": NETWORK}).status_code == 401


# where it listens ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("lan", "bound"), [(False, "127.0.0.1"), (True, "0.0.0.0")])
def test_nothing_listens_beyond_loopback_unless_asked(tmp_path, monkeypatch, lan, bound):
    location = str(tmp_path / "book.gyle")
    make_book(location)
    listening: list[str] = []

    class Looks:
        """Stands for the server, and looks at the socket that it was given."""

        def __init__(self, config: object) -> None:
            pass

        def run(self, sockets: list[socket.socket]) -> None:
            listening.append(sockets[0].getsockname()[0])

    monkeypatch.setattr("gylebook.faces.web.serving.uvicorn.Server", Looks)
    serve(location, 0, lan=lan, ready=lambda desk, address: None)

    assert listening == [bound]
