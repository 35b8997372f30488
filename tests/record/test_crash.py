"""What the book has acknowledged survives other writers and a killed one."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from gylebook.record.engines import connect_file
from gylebook.record.replay import standing
from gylebook.record.store import open_book

AT = "2026-03-14T09:30:00+01:00"

# Writes events until it is killed or has written `count`; says each id only once the book has returned it.
WRITER = """
import sys, uuid
from gylebook.record.store import open_book
location, name, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
with open_book(location) as book:
    brew = book.brew("spring amber")
    print("ready", flush=True)
    sys.stdin.readline()
    for number in range(count):
        event = book.write_event(
            brew.id,
            "note",
            {"text": f"{name} {number} " + "x" * 200},
            "2026-03-14T09:30:00+01:00",
            device=name,
        )
        print(event.id, flush=True)
"""


def start_writer(location: str, name: str, count: int) -> subprocess.Popen[str]:
    writer = subprocess.Popen(
        [sys.executable, "-c", WRITER, location, name, str(count)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert writer.stdout is not None
    assert writer.stdout.readline() == "ready\n"
    return writer


def test_two_programs_writing_at_once_lose_nothing(location, book, brew):
    writers = [start_writer(location, name, 50) for name in ("phone", "laptop")]
    for writer in writers:
        writer.stdin.write("go\n")
        writer.stdin.flush()
    acknowledged = [writer.communicate(timeout=60)[0].split() for writer in writers]

    events = book.events(brew.id)

    assert [writer.returncode for writer in writers] == [0, 0]
    for name, ids in zip(("phone", "laptop"), acknowledged, strict=True):
        assert [str(event.id) for event in events if event.device == name] == ids
        assert len(ids) == 50
    assert len(standing(events)) == 100
    assert [event.seq for event in events] == sorted({event.seq for event in events})


def test_several_pages_of_one_program_write_at_once_and_lose_nothing(book, brew):
    with ThreadPoolExecutor(4) as pool:
        written = list(pool.map(lambda n: book.write_event(brew.id, "note", {"n": n}, AT), range(40)))

    assert book.events(brew.id) == tuple(sorted(written, key=lambda event: event.seq))
    assert sorted(event.body["n"] for event in written) == list(range(40))


@pytest.mark.parametrize(
    "seed", [*range(5), *(pytest.param(n, marks=pytest.mark.long) for n in range(5, 500))]
)
def test_a_killed_program_loses_no_event_that_the_book_acknowledged(location, book, brew, seed):
    # A kill ends the program and not the machine, so this shows order and atomicity; that a commit waits
    # for the disk is SQLite's synchronous=FULL and PostgreSQL's synchronous_commit.
    book.close()
    writer = start_writer(location, "phone", 100_000)
    writer.stdin.write("go\n")
    writer.stdin.flush()

    time.sleep(random.Random(seed).uniform(0.02, 0.2))
    writer.kill()
    said = writer.communicate(timeout=60)[0]

    acknowledged = said[: said.rfind("\n") + 1].split()
    with open_book(location) as again:
        events = again.events(brew.id)
        # One more may have been written than was said: the kill fell between the two.
        assert [str(event.id) for event in events][: len(acknowledged)] == acknowledged
        assert len(events) - len(acknowledged) in (0, 1)
        assert all(event.body["text"].endswith("x" * 200) for event in events)
        again.write_event(brew.id, "note", {}, AT)


def test_every_connection_to_a_file_waits_for_the_disk(sqlite_book):
    connection = connect_file(sqlite_book)
    found = {
        name: connection.execute(f"PRAGMA {name}").fetchone()[0]
        for name in ("journal_mode", "synchronous", "foreign_keys", "fullfsync")
    }
    connection.close()

    assert found == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "fullfsync": 1}  # 2 = FULL
