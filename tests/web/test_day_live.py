"""Pages that are open hear of what is new, at the price of one look for all of them."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor

import pytest

from gylebook.errors import BookProblem
from gylebook.faces.web.pages import day_live
from gylebook.faces.web.pages.day_live import Watch


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    """Looks that follow each other at once."""
    monkeypatch.setattr(day_live, "LOOK_S", 0.01)


def run(task):
    """What a task of asyncio gives; in a thread of its own, as a browser's loop may run in this one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, task).result(timeout=20)


async def heard(listening, count: int) -> list[str]:
    """So many messages with a number in them."""
    found = []
    async for message in listening:
        if message.startswith("data:"):
            found.append(message.strip())
        if len(found) == count:
            break
    await listening.aclose()
    return found


def test_all_hear_every_number_from_one_look():
    looks = []

    def newest() -> int:
        looks.append(None)
        return min(len(looks), 3)

    async def two() -> tuple[list[str], list[str], Watch]:
        watch = Watch(newest, lambda: False)
        first, second = await asyncio.gather(heard(watch.listen(), 3), heard(watch.listen(), 3))
        return first, second, watch

    first, second, watch = run(two())

    assert first == second == ["data: 1", "data: 2", "data: 3"]
    assert watch.idle
    assert len(looks) <= 4  # one more may have begun before both had left


def test_whoever_comes_later_hears_the_present_number_first():
    async def later() -> list[str]:
        watch = Watch(lambda: 7, lambda: False)
        staying = watch.listen()
        while not (await anext(staying)).startswith("data:"):
            pass
        found = await heard(watch.listen(), 1)
        await staying.aclose()
        return found

    assert run(later()) == ["data: 7"]


def test_a_book_out_of_reach_for_a_moment_ends_nothing():
    answers = iter([BookProblem("locked"), 5])

    def newest() -> int:
        answer = next(answers, 5)
        if isinstance(answer, Exception):
            raise answer
        return answer

    assert run(heard(Watch(newest, lambda: False).listen(), 1)) == ["data: 5"]


def test_streams_end_when_the_server_does():
    closing = []

    async def until_closed() -> list[str]:
        found = []
        async for message in Watch(lambda: 1, lambda: bool(closing)).listen():
            found.append(message)
            if message.startswith("data:"):
                closing.append(True)
        return found

    found = run(until_closed())

    assert found[-1] == "data: 1\n\n"
