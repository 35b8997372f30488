"""The day on the clock: which step is present, what comes when, and what stays in the log."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from command_line import EXAMPLE
from gylebook.errors import Refused
from gylebook.tasks.at_hand import AtHand
from gylebook.tasks.brews import adopt_remedy, make_book, start_brew, take_reading, withdraw_reading
from gylebook.tasks.day import day_order, day_view
from gylebook.tasks.day_deeds import begin_step, keep_pasted, reading_asked, take_back_step
from gylebook.tasks.day_log import day_log

BREW = "a day"
MORNING = datetime.fromisoformat("2026-03-14T09:00:00+01:00")


class Day:
    """A brew in a book, looked at and acted on at minutes after nine."""

    def __init__(self, location: str) -> None:
        self.location, self.hand = location, AtHand(location)

    @property
    def standing(self):
        return self.hand.standing(BREW)

    @property
    def order(self):
        return self.hand.found(day_order, self.standing.outlook)

    def at(self, minute: float) -> str:
        return (MORNING + timedelta(minutes=minute)).isoformat()

    def view(self, minute: float = 0):
        return day_view(self.standing, self.order, MORNING + timedelta(minutes=minute))

    def begin(self, step: str, minute: float, **more):
        return begin_step(self.location, BREW, self.order, step, self.at(minute), **more)

    def read(
        self, step: str, quantity: str, value: str, instrument: str, minute: float, *, warm: str = "", **more
    ):
        unit = {"volume": "L", "temperature": "°C"}.get(quantity, "")
        reading = reading_asked(
            self.standing.outlook, step, quantity, value, unit, instrument, warm, "°C", self.at(minute), ""
        )
        return take_reading(self.location, BREW, reading, **more)

    def present(self, minute: float = 0):
        view = self.view(minute)
        return None if view.present is None else view.steps[view.present].id

    def step(self, id: str, minute: float = 0):
        return next(step for step in self.view(minute).steps if step.id == id)


@pytest.fixture
def day(tmp_path):
    location = str(tmp_path / "book.gyle")
    make_book(location)
    start_brew(
        location, BREW, EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml", MORNING.isoformat(), draws=400
    )
    made = Day(location)
    yield made
    made.hand.close()


def test_before_the_first_step_the_day_hangs_from_the_present_hour(day):
    view = day.view(30)

    assert view.present is None
    assert view.following == 0
    assert view.steps[0].at == MORNING + timedelta(minutes=30)


def test_the_day_ends_with_the_pitching_and_the_rest_comes_later(day):
    assert day.view().steps[-1].step.key == "pitch"
    assert [step.key for step in day.view().later] == ["second organism", "keg", "bottles"]


def test_steps_that_are_alike_are_told_apart_by_their_turn(day):
    ids = [step.id for step in day.view().steps]

    assert len(set(ids)) == len(ids)
    assert {"add to the boil.1", "add to the boil.2", "add to the boil.3"} <= set(ids)


def test_an_addition_that_comes_late_moves_no_hour_of_the_boil(day):
    day.begin("boil.1", 0)
    due = day.step("add to the boil.2").at

    day.begin("add to the boil.1", 7)

    assert day.step("boil.1").state == "goes on"
    assert day.step("add to the boil.2").at == due
    assert day.step("end of the boil.1").at == MORNING + timedelta(minutes=60)


def test_a_step_that_begins_late_moves_what_comes_after_it(day):
    day.begin("chill.1", 0)
    divide = day.step("divide.1").at

    day.begin("divide.1", 90)

    assert day.step("divide.1").at == MORNING + timedelta(minutes=90) > divide
    assert day.step("pitch.1").at == MORNING + timedelta(minutes=110)


def test_the_latest_hour_counts_whoever_sends_it_first(day):
    day.begin("chill.1", 40)
    day.begin("boil.1", 10)  # a phone that had no network sends late what it saw early

    assert day.present() == "chill.1"


def test_a_step_sent_twice_is_written_once(day):
    id = uuid4()
    first, again = (day.begin("boil.1", 5, id=id) for _ in range(2))

    assert first.seq == again.seq
    assert len(day_log(day.standing, day.order)) == 1


def test_a_step_begun_too_early_is_taken_back_to_the_clock_of_the_one_before(day):
    day.begin("boil.1", 5)
    event = day.begin("chill.1", 9)

    id = uuid4()
    for _ in range(2):
        take_back_step(day.location, BREW, event.id, day.at(10), id=id)

    assert day.present() == "boil.1"
    assert day.step("boil.1").at == MORNING + timedelta(minutes=5)
    assert [entry.gone for entry in day_log(day.standing, day.order)] == ["withdrawn", ""]


def test_only_a_step_is_taken_back_so(day):
    taken = day.read("mash", "temperature", "65.6", "thermometer", 3)

    with pytest.raises(Refused, match="is no step of this brew"):
        take_back_step(day.location, BREW, taken.event.id, day.at(4))


def test_a_step_that_is_not_in_the_order_is_refused(day):
    for step in ("boil.2", "nap.1", "keg.1", "boil"):
        with pytest.raises(Refused, match="no such step"):
            day.begin(step, 0)


def test_the_day_ends_and_goes_on_again(day):
    day.begin("pitch.1", 0)
    ended = day.begin("", 10)
    assert day.view().over
    assert day.present() is None

    take_back_step(day.location, BREW, ended.id, day.at(11))

    assert day.present() == "pitch.1"


def test_a_step_moves_no_forecast(day):
    before = day.standing.outlook

    day.begin("boil.1", 0)

    assert day.standing.outlook is before
    assert day.present() == "boil.1"


def test_the_outlook_before_a_reading_is_at_hand(day):
    first = day.standing.outlook
    assert day.hand.before(day.standing) is None

    day.read("preboil", "volume", "39", "dipstick", 3)

    assert day.hand.before(day.standing) is first
    assert day.standing.outlook is not first


@pytest.mark.parametrize(
    ("value", "litres"),
    [("40.2", 40.2), ("40,2", 40.2), ("11 gal", 41.64), (" 40.2 L ", 40.2), ("above 38", 38.0)],
)
def test_a_bare_number_is_in_the_unit_that_is_shown(day, value, litres):
    read = reading_asked(
        day.standing.outlook, "preboil", "volume", value, "L", "dipstick", "", "°C", day.at(0), ""
    )

    assert read.value == pytest.approx(
        litres, abs=0.01
    )  # a hundredth of a litre, as gallons are rounded above


def test_another_quantity_than_the_one_asked_for_is_refused(day):
    with pytest.raises(Refused, match=r"“66 °C” is a temperature; a volume is asked for here"):
        day.read("preboil", "volume", "66 °C", "dipstick", 0)


def test_a_corrected_reading_stays_in_the_log_and_says_why(day):
    wrong = day.read("preboil", "volume", "34.2", "dipstick", 1)
    day.read("preboil", "volume", "40.2", "dipstick", 2, supersedes=wrong.event.id, reason="digits swapped")

    newest, older = day_log(day.standing, day.order)

    assert (newest.gone, newest.corrects) == ("", wrong.event.seq)
    assert (older.gone, older.reason, older.reading.value) == ("corrected", "digits swapped", 34.2)


def test_a_withdrawal_sent_twice_is_written_once(day):
    wrong = day.read("preboil", "volume", "34.2", "dipstick", 1)
    id = uuid4()
    for _ in range(2):
        withdraw_reading(day.location, BREW, wrong.event.id, day.at(2), reason="another pot", id=id)

    (entry,) = day_log(day.standing, day.order)
    assert (entry.gone, entry.reason) == ("withdrawn", "another pot")


def test_a_remedy_is_adopted_only_by_the_number_that_was_seen(day):
    seen = day.read("preboil", "volume", "36", "dipstick", 1).event.seq
    day.read("preboil", "gravity", "1.046", "hydrometer", 2)

    with pytest.raises(Refused, match="something was written since"):
        adopt_remedy(day.location, BREW, 1, day.at(3), seen=seen)


def test_an_adopted_remedy_is_told_in_the_log_and_adopted_once(day):
    seen = day.read("preboil", "volume", "36", "dipstick", 1).event.seq
    day.begin("boil.1", 2)  # a step moves nothing that remedies are numbered by
    id = uuid4()

    for _ in range(2):
        adopt_remedy(day.location, BREW, 1, day.at(3), id=id, seen=seen)

    changed = [entry for entry in day_log(day.standing, day.order) if entry.kind == "plan changed"]
    assert [entry.remedy.deed for entry in changed] == [changed[0].remedy.deed]
    assert day.present() == "boil.1"


PASTED = """
[[reading]]
step = "preboil"
quantity = "volume"
value = "40.2 L"
instrument = "dipstick"
at = "11:40"
{id}
"""


@pytest.mark.parametrize("id", ['id = "5f0c3f4e-7b0a-4c52-9a51-2f3f5f0e9d11"', ""])
def test_readings_pasted_twice_are_kept_once(day, id):
    became = [keep_pasted(day.location, BREW, PASTED.format(id=id), MORNING)[0].became for _ in range(2)]

    assert became == ["kept", "there already"]
    (entry,) = day_log(day.standing, day.order)
    assert entry.at == "2026-03-14T11:40:00+01:00"


def test_one_pasted_reading_that_is_refused_keeps_no_other_out(day):
    text = PASTED.format(id="") + PASTED.format(id="").replace('"preboil"', '"tea time"')

    kept, refused = keep_pasted(day.location, BREW, text, MORNING)

    assert (kept.became, refused.became) == ("kept", "refused")
    assert "tea time" in refused.why


def test_a_pasted_text_that_cannot_be_read_is_refused_as_a_whole(day):
    with pytest.raises(Refused, match=r"pasted text.*value"):
        keep_pasted(day.location, BREW, PASTED.format(id="").replace("40.2 L", "40.2 miles"), MORNING)
    assert day_log(day.standing, day.order) == ()
