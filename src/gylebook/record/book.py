"""Read and write one open book.

In:  texts, brews and events to keep. Out: the dataclasses of `events`, once the disk has them.

Idea: each method is one transaction, and `all_or_nothing` makes one of several, so a reader sees all of a
write or nothing of it. Writers to one brew wait for each other, so that its events appear in the order of
`seq`. Nothing here computes a forecast.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from threading import local
from typing import Any
from uuid import UUID, uuid4

from sqlalchemy import Connection, Engine, Select, Table, func, insert, select, text

from gylebook.errors import AlreadyThere, Problem, Refused
from gylebook.record import checks, rows, schema
from gylebook.record.engines import WRITES
from gylebook.record.events import (
    WITHDRAWN,
    About,
    Brew,
    BreweryVersion,
    EveningVersion,
    Event,
    PlanVersion,
    TableVersion,
)
from gylebook.record.rows import Row
from gylebook.record.troubles import in_words


class Book:
    """One open book, got from `store.open_book`; use it in a `with` block. Threads may share it."""

    def __init__(self, engine: Engine, shown: str, revision: str, clock: Callable[[], datetime]) -> None:
        self._engine, self._shown, self._revision, self._clock = engine, shown, revision, clock
        self._ours = local()  # the connection of a transaction that this thread has open

    def __enter__(self) -> Book:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    @contextmanager
    def all_or_nothing(self) -> Iterator[None]:
        """Make one transaction of what this thread writes in the block: an error in it undoes all of it."""
        with self.transaction(writes=True) as connection:
            self._ours.connection = connection
            try:
                yield
            finally:
                del self._ours.connection

    @contextmanager
    def transaction(self, *, writes: bool = False) -> Iterator[Connection]:
        """A transaction of its own, or the one that this thread has open; for this room alone."""
        ours: Connection | None = getattr(self._ours, "connection", None)
        if ours is not None:
            yield ours
            return
        with in_words(self._shown), self._engine.execution_options(**{WRITES: writes}).begin() as connection:
            yield connection

    def _now(self) -> str:
        return self._clock().isoformat(timespec="milliseconds")

    def about(self) -> About:
        """What the book says of itself."""
        with self.transaction() as connection:
            row = connection.execute(select(schema.book)).one()
        return About(id=UUID(row.id), made_at=row.made_at, made_by=row.made_by, revision=self._revision)

    # breweries, plans and tables ----------------------------------------------------------------------

    def keep_brewery(self, name: str, text: str) -> BreweryVersion:
        """Keep a brewery file as its next version; the text of the newest version again makes no new one."""
        return rows.brewery(self._keep(schema.breweries, name, text, {}))

    def keep_plan(self, name: str, text: str, note: str = "") -> PlanVersion:
        """Keep a plan likewise; the newest text again, with another note, is a version of its own."""
        return rows.plan(self._keep(schema.plans, name, text, {"note": note}))

    def keep_table(self, name: str, text: str) -> TableVersion:
        """Keep a brewer's own table of `OWN_TABLES` likewise, as the CSV text that it is."""
        checks.raise_all(checks.table_problems("name", name), checks.text_problems("text", text))
        return rows.table(self._keep(schema.tables, name, text, {}))

    def keep_evening(self, brewery: str, text: str) -> EveningVersion:
        """Keep the readings of an evening with water on a brewery; they take the place of those before."""
        return rows.evening(self._keep(schema.evenings, brewery, text, {}))

    def brewery(self, name: str, version: int | None = None) -> BreweryVersion:
        """One version of a brewery; the newest where none is named."""
        return rows.brewery(self._version(schema.breweries, "brewery", name, version))

    def plan(self, name: str, version: int | None = None) -> PlanVersion:
        """One version of a plan; the newest where none is named."""
        return rows.plan(self._version(schema.plans, "plan", name, version))

    def table(self, name: str, version: int | None = None) -> TableVersion:
        """One version of an own table; the newest where none is named."""
        return rows.table(self._version(schema.tables, "table", name, version))

    def evening(self, brewery: str) -> EveningVersion | None:
        """The newest evening with water on a brewery, if there was one."""
        with self.transaction() as connection:
            row = rows.first(connection, _newest(schema.evenings, brewery))
        return None if row is None else rows.evening(row)

    def brewery_version(self, id: UUID) -> BreweryVersion:
        """The version that a brew pins."""
        return rows.brewery(self._one(schema.breweries, "brewery version", id))

    def plan_version(self, id: UUID) -> PlanVersion:
        """The version that a brew pins, or that a changed plan names."""
        return rows.plan(self._one(schema.plans, "plan version", id))

    def breweries(self) -> tuple[BreweryVersion, ...]:
        """All versions of all breweries, by name, oldest first."""
        return tuple(rows.brewery(row) for row in self._all(_by_name(schema.breweries)))

    def plans(self) -> tuple[PlanVersion, ...]:
        """All versions of all plans, by name, oldest first."""
        return tuple(rows.plan(row) for row in self._all(_by_name(schema.plans)))

    def tables(self) -> tuple[TableVersion, ...]:
        """All versions of all own tables, by name, oldest first."""
        return tuple(rows.table(row) for row in self._all(_by_name(schema.tables)))

    def _keep(self, kept: Table, name: str, typed: str, more: dict[str, str]) -> Row:
        checks.raise_all(
            checks.name_problems("name", name),
            checks.text_problems("text", typed),
            *(checks.text_problems(key, value) for key, value in more.items()),
        )
        with self.transaction(writes=True) as connection:
            if connection.dialect.name == "postgresql":  # so that two writers do not count the same version
                connection.execute(text(f"LOCK TABLE {kept.name} IN SHARE ROW EXCLUSIVE MODE"))
            newest = rows.first(connection, _newest(kept, name))
            same = newest is not None and newest["text"] == typed
            if newest is not None and same and all(v in ("", newest[k]) for k, v in more.items()):
                return newest
            row = {
                "id": str(uuid4()),
                "name": name,
                "version": 1 if newest is None else newest["version"] + 1,
                "text": typed,
                "sha256": checks.sha256(typed),
                "made_at": self._now(),
                **more,
            }
            connection.execute(insert(kept).values(row))
        return row

    def _version(self, kept: Table, what: str, name: str, version: int | None) -> Row:
        with self.transaction() as connection:
            wanted = _newest(kept, name)
            if version is not None:
                wanted = wanted.where(kept.c.version == version)
            row = rows.first(connection, wanted)
            if row is not None:
                return row
            held = rows.first(connection, _newest(kept, name))
            names = connection.scalars(select(kept.c.name).distinct().order_by(kept.c.name)).all()
        if held is not None:
            raise _refused(f"{what} {name}", f"version {version}", f"must be from 1 to {held['version']}")
        raise _refused(
            f"{what} {name}", "", f"is not in this book; it holds {', '.join(names) or 'none yet'}"
        )

    def _one(self, kept: Table, what: str, id: UUID) -> Row:
        with self.transaction() as connection:
            row = rows.first(connection, select(kept).where(kept.c.id == str(id)))
        if row is None:
            raise _refused(f"{what} {id}", "", "is not in this book")
        return row

    def _all(self, wanted: Select[Any]) -> list[Row]:
        with self.transaction() as connection:
            return [found._asdict() for found in connection.execute(wanted)]

    # brews --------------------------------------------------------------------------------------------

    def start_brew(
        self,
        name: str,
        plan_version_id: UUID,
        brewery_version_id: UUID,
        seed: int,
        draws: int,
        started_at: str,
        program_version: str,
    ) -> Brew:
        """Open a brew under a name of its own, pinning all that its forecast needs to be made again."""
        checks.raise_all(
            checks.name_problems("name", name),
            checks.whole_problems("seed", seed, 0, 2**63 - 1),
            checks.whole_problems("draws", draws, 1, 2**31 - 1),
            checks.time_problems("started_at", started_at),
            checks.text_problems("program_version", program_version),
        )
        brew = Brew(
            id=uuid4(),
            name=name,
            plan_id=self.plan_version(plan_version_id).id,
            brewery_id=self.brewery_version(brewery_version_id).id,
            seed=seed,
            draws=draws,
            program_version=program_version,
            started_at=started_at,
        )
        with self.transaction(writes=True) as connection:
            if connection.dialect.name == "postgresql":
                connection.execute(text("LOCK TABLE brews IN SHARE ROW EXCLUSIVE MODE"))
            if connection.scalar(select(schema.brews.c.id).where(schema.brews.c.name == name)):
                accepted = "is taken by another brew of this book; give a new one"
                raise AlreadyThere((Problem("name", f"“{name}”", accepted),))
            connection.execute(insert(schema.brews).values(rows.of_brew(brew)))
        return brew

    def brew(self, name_or_id: str | UUID) -> Brew:
        """One brew, by its name or its id."""
        brews = schema.brews.c
        given = str(name_or_id)
        found = self._all(select(schema.brews).where((brews.name == given) | (brews.id == given.lower())))
        for row in found:  # a name comes before an id, should a brew bear another's id as its name
            if row["name"] == given:
                return rows.brew(row)
        if found:
            return rows.brew(found[0])
        names = ", ".join(brew.name for brew in self.brews()) or "none yet"
        raise _refused(f"brew {given}", "", f"is not in this book; it holds {names}")

    def brews(self) -> tuple[Brew, ...]:
        """All brews, in the order of their start."""
        found = [rows.brew(row) for row in self._all(select(schema.brews))]
        return tuple(sorted(found, key=lambda brew: (datetime.fromisoformat(brew.started_at), brew.name)))

    # events -------------------------------------------------------------------------------------------

    def write_event(
        self,
        brew_id: UUID,
        kind: str,
        body: Mapping[str, Any],
        at: str,
        *,
        id: UUID | None = None,
        who: str = "",
        device: str = "",
        supersedes: UUID | None = None,
        reason: str = "",
    ) -> Event:
        """Append one event; when this returns, the disk has it.

        The same `id` with the same content again gives the stored event, with other content it is `Refused`.
        `supersedes` names the event of this brew that this one replaces or, as kind "withdrawn", takes away.
        """
        checks.event_or_refuse(kind, body, at, who, device, supersedes, reason)
        given = {
            "id": str(id or uuid4()),
            "brew_id": str(brew_id),
            "kind": kind,
            "at": at,
            "who": who,
            "device": device,
            "body": checks.json_of(body),
            "supersedes": None if supersedes is None else str(supersedes),
            "reason": reason,
        }
        events, brews = schema.events, schema.brews
        with self.transaction(writes=True) as connection:
            # The row lock keeps writers to one brew in line on PostgreSQL; SQLite has its lock already.
            mine = select(brews.c.id).where(brews.c.id == str(brew_id)).with_for_update(key_share=True)
            if connection.scalar(mine) is None:
                raise _refused(f"brew {brew_id}", "", "is not in this book")
            stored = rows.first(connection, select(events).where(events.c.id == given["id"]))
            if stored is not None:
                return _sent_again(stored, given)
            if supersedes is not None:
                _check_superseded(connection, str(brew_id), supersedes)
            row = {**given, "written_at": self._now()}
            seq = connection.scalars(insert(events).values(row).returning(events.c.seq)).one()
        return rows.event({**row, "seq": seq})

    def events(self, brew_id: UUID, *, up_to_seq: int | None = None) -> tuple[Event, ...]:
        """All events of a brew in the order written, superseded ones included."""
        events = schema.events
        wanted = select(events).where(events.c.brew_id == str(brew_id)).order_by(events.c.seq)
        if up_to_seq is not None:
            wanted = wanted.where(events.c.seq <= up_to_seq)
        return tuple(rows.event(row) for row in self._all(wanted))

    def events_of(self, *kinds: str) -> tuple[Event, ...]:
        """All events of these kinds, of whichever brew, in the order written; withdrawals come with them."""
        events = schema.events
        wanted = select(events).where(events.c.kind.in_([*kinds, WITHDRAWN])).order_by(events.c.seq)
        return tuple(rows.event(row) for row in self._all(wanted))

    def latest_seq(self, brew_id: UUID) -> int:
        """The `seq` of the newest event of a brew; 0 before the first."""
        newest = select(func.max(schema.events.c.seq)).where(schema.events.c.brew_id == str(brew_id))
        with self.transaction() as connection:
            return int(connection.scalar(newest) or 0)

    def newest_seq(self) -> int:
        """The `seq` of the newest event of any brew; 0 before the first."""
        with self.transaction() as connection:
            return int(connection.scalar(select(func.max(schema.events.c.seq))) or 0)


def _refused(where: str, understood: str, accepted: str) -> Refused:
    return Refused((Problem(where, understood, accepted),))


def _newest(kept: Table, name: str) -> Select[Any]:
    return select(kept).where(kept.c.name == name).order_by(kept.c.version.desc()).limit(1)


def _by_name(kept: Table) -> Select[Any]:
    return select(kept).order_by(kept.c.name, kept.c.version)


def _sent_again(stored: Row, given: Row) -> Event:
    differs = [key for key, value in given.items() if stored[key] != value]
    if differs:
        understood = f"is in the book with other content ({', '.join(differs)})"
        accepted = (
            "an id names one event for ever; give the correction its own id and let it supersede this one"
        )
        raise AlreadyThere((Problem(f"event {given['id']}", understood, accepted),))
    return rows.event(stored)


def _check_superseded(connection: Connection, brew_id: str, supersedes: UUID) -> None:
    events = schema.events.c
    target = select(events.seq).where(events.id == str(supersedes), events.brew_id == brew_id)
    number = connection.scalar(target)
    if number is None:
        raise _refused("supersedes", str(supersedes), "is no event of this brew")
    later = connection.execute(
        select(events.seq, events.kind).where(events.supersedes == str(supersedes))
    ).first()
    if later is not None:
        accepted = f"was superseded already, by event {later.seq} ({later.kind}); supersede that one"
        raise AlreadyThere((Problem("supersedes", f"event {number}", accepted),))
