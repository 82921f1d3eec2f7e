"""The shape of the log's file, in numbered steps, each in a transaction of its own with the number it leads to.

A step never changes once released: a log of any version ever released opens by running the steps it lacks. `user_version` holds the
number, `application_id` tells that the file is ours. Rules of the file live here too: rows are only ever added (triggers say so on
any connection, an INSERT OR REPLACE included), every event belongs to a turn, a kind is one of the known ones.
A step reads no list that grows elsewhere: what it needs of one stands in released.py as it was then.
May import: sqlite3; sqlite_utils, `older` and `released` only while a file is made or migrated.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

APPLICATION = 0x756C6C61  # "ulla"
EARLIEST, LATEST = -2208988800000, 7258118400000  # milliseconds: the years 1900 to 2199

_VERSION_1 = f"""
CREATE TABLE kinds (
  kind TEXT PRIMARY KEY
) WITHOUT ROWID;

CREATE TABLE turns (
  turn INTEGER PRIMARY KEY,
  heard_at INTEGER NOT NULL CHECK (heard_at >= {EARLIEST} AND heard_at < {LATEST}),
  offset INTEGER NOT NULL CHECK (offset BETWEEN -1439 AND 1439),
  outcome TEXT NOT NULL CHECK (outcome IN ('recorded', 'answered', 'asked', 'not_understood', 'refused')),
  heard TEXT NOT NULL,
  answer TEXT NOT NULL,
  memo TEXT NOT NULL CHECK (memo = '' OR json_valid(memo)),
  guard INTEGER NOT NULL
);

CREATE TABLE events (
  seq INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE CHECK (length(id) BETWEEN 10 AND 40 AND id NOT GLOB '*[^0-9a-z]*'),
  turn INTEGER NOT NULL REFERENCES turns (turn),
  kind TEXT NOT NULL REFERENCES kinds (kind),
  at INTEGER NOT NULL CHECK (at >= {EARLIEST} AND at < {LATEST}),
  offset INTEGER NOT NULL CHECK (offset BETWEEN -1439 AND 1439),
  body TEXT NOT NULL CHECK (json_valid(body) AND json_type(body) = 'object'),
  guard INTEGER NOT NULL
);

CREATE TABLE snapshots (
  version TEXT PRIMARY KEY,
  seq INTEGER NOT NULL,
  world BLOB NOT NULL
) WITHOUT ROWID;

CREATE TRIGGER events_only_added_u BEFORE UPDATE ON events BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
CREATE TRIGGER events_only_added_d BEFORE DELETE ON events BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
CREATE TRIGGER events_only_added_i BEFORE INSERT ON events
WHEN EXISTS (SELECT 1 FROM events WHERE seq = NEW.seq OR id = NEW.id)
BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
CREATE TRIGGER turns_only_added_u BEFORE UPDATE ON turns BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
CREATE TRIGGER turns_only_added_d BEFORE DELETE ON turns BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
CREATE TRIGGER turns_only_added_i BEFORE INSERT ON turns WHEN EXISTS (SELECT 1 FROM turns WHERE turn = NEW.turn)
BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
"""

_BY_DAY = """
SELECT date(events.at / 1000 + events.offset * 60, 'unixepoch') AS day,
       time(events.at / 1000 + events.offset * 60, 'unixepoch') AS time,
       events.kind AS kind,
       coalesce(json_extract(events.body, '$.activity'), json_extract(events.body, '$.tank'),
                json_extract(events.body, '$.meter'), json_extract(events.body, '$.item'),
                json_extract(events.body, '$.site')) AS what,
       json_extract(events.body, '$.person') AS person,
       json_extract(events.body, '$.litres') AS litres,
       turns.heard AS heard,
       EXISTS (SELECT 1 FROM events AS later, json_each(later.body, '$.of') AS target
               WHERE later.kind = 'undo' AND target.value = events.id
                 AND NOT EXISTS (SELECT 1 FROM events AS again, json_each(again.body, '$.of') AS back
                                 WHERE again.kind = 'redo' AND back.value = later.id)) AS taken_back,
       EXISTS (SELECT 1 FROM events AS later
               WHERE later.kind = 'amend' AND json_extract(later.body, '$.of') = events.id) AS changed_later,
       events.seq AS seq, events.id AS id, events.body AS fields
FROM events JOIN turns USING (turn)
ORDER BY events.at, events.seq
"""


def _step_1(connection: sqlite3.Connection) -> None:
    """Turns, events that are only added to, the snapshots' cache, and a view by day for other tools."""
    import sqlite_utils

    from state.log.released import KINDS_1

    file = sqlite_utils.Database(connection, recursive_triggers=False, use_counts_table=False)
    for statement in _statements(_VERSION_1):
        file.execute(statement)
    connection.executemany("INSERT INTO kinds (kind) VALUES (?)", [(kind,) for kind in KINDS_1])
    file.execute(f"CREATE VIEW by_day AS {_BY_DAY}")


_COUNTED = """
takes_back(head, id, kind, of) AS (
  SELECT {booked}.seq, {booked}.id, {booked}.kind, target.value FROM {booked}, json_each({booked}.body, '$.of') AS target
  WHERE {booked}.kind IN ('undo', 'redo')),
reaches(head, id, gone) AS (
  SELECT head, id, 0 FROM takes_back
  UNION
  SELECT reaches.head, told.of,
         CASE WHEN told.kind = 'redo' AND told.of NOT IN (SELECT id FROM takes_back) THEN gone ELSE 1 - gone END
  FROM reaches JOIN takes_back AS told ON told.id = reaches.id),
settled(id, gone) AS (SELECT id, gone FROM (SELECT id, gone, max(head) FROM reaches GROUP BY id)),
changes(of, n, body, at, offset) AS (
  SELECT target.value, row_number() OVER (PARTITION BY target.value ORDER BY {booked}.seq),
         CASE WHEN json_type({booked}.body, '$.fraction') IS NOT NULL AND json_type({booked}.body, '$.litres') IS NULL
              THEN json_set(json_remove({booked}.body, '$.of', '$.said'), '$.litres', NULL)
              ELSE json_remove({booked}.body, '$.of', '$.said') END, {booked}.at, {booked}.offset
  FROM {booked}, json_each({booked}.body, '$.of') AS target
  WHERE {booked}.kind = 'amend' AND {booked}.id NOT IN (SELECT id FROM settled WHERE gone)),
changed(id, n, body, at, offset) AS (
  SELECT {booked}.id, 1, json_patch({booked}.body, changes.body), changes.at, changes.offset
  FROM changes JOIN {booked} ON {booked}.id = changes.of WHERE changes.n = 1
  UNION ALL
  SELECT changed.id, changes.n, json_patch(changed.body, changes.body), changes.at, changes.offset
  FROM changed JOIN changes ON changes.of = changed.id AND changes.n = changed.n + 1),
latest(id, body, at, offset) AS (SELECT id, body, at, offset FROM (SELECT *, max(n) FROM changed GROUP BY id)),
counted AS (
  SELECT {booked}.seq AS seq, {booked}.id AS id, {booked}.turn AS turn, {booked}.kind AS kind, latest.id IS NOT NULL AS changed_later,
         coalesce(latest.at, {booked}.at) AS at, coalesce(latest.offset, {booked}.offset) AS offset,
         coalesce(latest.body, {booked}.body) AS body
  FROM {booked} LEFT JOIN latest ON latest.id = {booked}.id)
SELECT date(at / 1000 + counted.offset * 60, 'unixepoch') AS day,
       time(at / 1000 + counted.offset * 60, 'unixepoch') AS time,
       kind,
       coalesce(json_extract(body, '$.activity'), json_extract(body, '$.tank'), json_extract(body, '$.meter'),
                json_extract(body, '$.item'), json_extract(body, '$.site')) AS what,
       json_extract(body, '$.person') AS person,
       json_extract(body, '$.litres') AS litres,
       turns.heard AS heard,
       counted.id IN (SELECT id FROM settled WHERE gone) AS taken_back,
       changed_later, seq, counted.id AS id, body AS fields
FROM counted JOIN turns USING (turn)
ORDER BY at, seq
"""
"""What a log's own tool may want of an event as it counts now, from a table or view {booked} with its fields as JSON in `body`."""


def _step_2(connection: sqlite3.Connection) -> None:
    """The view by day shows an event as it was corrected, and is quick in a log of any length."""
    connection.execute("DROP VIEW by_day")
    connection.execute(f"CREATE VIEW by_day AS \nWITH RECURSIVE{_COUNTED.format(booked='events')}")


HEAD = "substr(id, 1, 13)"
"""What is kept in order to find an event by its id: the moment of making and some of the chance in it, so one event has it, or a few. Two
thirds of the bytes of an index over whole ids. Ids that other programs made may all begin alike, and have an index of their own."""

OWN = "length(id) = 20"

_SAME_ID = f"({OWN} AND {HEAD} = substr(NEW.id, 1, 13) AND +id = NEW.id) OR ({OWN.replace('=', '<>')} AND id = NEW.id)"

_TABLES_3 = f"""
CREATE TABLE codes (
  code INTEGER PRIMARY KEY,
  name TEXT NOT NULL
);

CREATE TABLE turns (
  turn INTEGER PRIMARY KEY,
  heard_at INTEGER NOT NULL CHECK (heard_at >= {EARLIEST} AND heard_at < {LATEST}),
  offset INTEGER NOT NULL CHECK (offset BETWEEN -1439 AND 1439),
  outcome INTEGER NOT NULL REFERENCES codes (code),
  heard TEXT NOT NULL,
  guard INTEGER NOT NULL
);

CREATE TABLE recent (
  place INTEGER PRIMARY KEY,
  turn INTEGER NOT NULL,
  answer TEXT NOT NULL,
  memo TEXT NOT NULL CHECK (memo = '' OR json_valid(memo)),
  guard INTEGER NOT NULL
);

CREATE TABLE events (
  seq INTEGER PRIMARY KEY,
  id TEXT NOT NULL CHECK (length(id) BETWEEN 10 AND 40 AND id NOT GLOB '*[^0-9a-z]*'),
  turn INTEGER NOT NULL REFERENCES turns (turn),
  kind INTEGER NOT NULL REFERENCES codes (code),
  at INTEGER NOT NULL CHECK (at >= {EARLIEST} AND at < {LATEST}),
  offset INTEGER NOT NULL CHECK (offset BETWEEN -1439 AND 1439),
  what,
  person TEXT,
  litres REAL,
  said TEXT,
  rest TEXT CHECK (rest IS NULL OR (json_valid(rest) AND json_type(rest) = 'object')),
  guard INTEGER NOT NULL
);

CREATE INDEX events_by_id ON events ({HEAD}) WHERE {OWN};
CREATE INDEX events_by_other_id ON events (id) WHERE {OWN.replace("=", "<>")};

CREATE TRIGGER events_only_added_u BEFORE UPDATE ON events BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
CREATE TRIGGER events_only_added_d BEFORE DELETE ON events BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
CREATE TRIGGER events_only_added_i BEFORE INSERT ON events
WHEN EXISTS (SELECT 1 FROM events WHERE seq = NEW.seq) OR EXISTS (SELECT 1 FROM events WHERE {_SAME_ID})
BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
CREATE TRIGGER turns_only_added_u BEFORE UPDATE ON turns BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
CREATE TRIGGER turns_only_added_d BEFORE DELETE ON turns BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
CREATE TRIGGER turns_only_added_i BEFORE INSERT ON turns WHEN EXISTS (SELECT 1 FROM turns WHERE turn = NEW.turn)
BEGIN SELECT raise(ABORT, 'the log is only added to'); END;
"""

_BOOKED = """
booked(seq, id, turn, kind, at, offset, body) AS (
  SELECT seq, id, turn, kinds.name, at, offset,
         CASE WHEN coalesce(what, person, litres) IS NULL THEN coalesce(rest, '{{}}')
              ELSE json_patch('{{}}', json_patch(json_object(CASE kind {fields} ELSE '' END, coalesce(words.name, what),
                                                         'person', person, 'litres', litres), coalesce(rest, '{{}}'))) END
  FROM events JOIN codes AS kinds ON kinds.code = kind LEFT JOIN codes AS words ON words.code = what),"""
"""Events with their fields as JSON again. {fields}: for the number of each kind, the field that stands in the column `what`."""


def _step_3(connection: sqlite3.Connection) -> None:
    """Half the bytes: what most events have in columns of their own, common words as numbers, answers and memos of the latest turns only."""
    from state.log import older
    from state.log.released import CODE_3, NAMES_3, WHAT_3

    for name, kind in connection.execute(
        "SELECT name, type FROM sqlite_master WHERE type IN ('view', 'trigger')"
    ).fetchall():
        connection.execute(f"DROP {kind} {name}")
    for table in ("turns", "events"):
        connection.execute(f"ALTER TABLE {table} RENAME TO {table}_2")
    for statement in _statements(_TABLES_3):
        connection.execute(statement)
    connection.executemany("INSERT INTO codes (code, name) VALUES (?, ?)", enumerate(NAMES_3))
    older.carry_over(connection)
    for table in ("events_2", "turns_2", "kinds"):
        connection.execute(f"DROP TABLE {table}")
    connection.execute("DELETE FROM snapshots")
    fields = " ".join(f"WHEN {CODE_3[kind]} THEN '{field}'" for kind, field in WHAT_3.items())
    booked = _BOOKED.format(fields=fields) + _COUNTED.format(booked="booked")
    connection.execute(f"CREATE VIEW by_day AS WITH RECURSIVE{booked}")


STEPS: tuple[Callable[[sqlite3.Connection], None], ...] = (_step_1, _step_2, _step_3)
VERSION = len(STEPS)


def _statements(script: str) -> list[str]:
    """The statements of a script, one by one: sqlite3's own executescript would commit in between."""
    found, piece = [], ""
    for line in script.splitlines(keepends=True):
        piece += line
        if sqlite3.complete_statement(piece):
            found.append(piece.strip())
            piece = ""
    return found


def version_of(connection: sqlite3.Connection) -> int:
    """The version of an opened file; 0 for an empty one, -1 for a database that is not ours. All is read at one moment, since another
    program may be making the log."""
    alone = not connection.in_transaction
    if alone:
        connection.execute("BEGIN")
    try:
        tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        version = int(connection.execute("PRAGMA user_version").fetchone()[0])
        ours = connection.execute("PRAGMA application_id").fetchone()[0] == APPLICATION
    finally:
        if alone and connection.in_transaction:
            connection.execute("COMMIT")
    if ours and version > 0:
        return version
    return 0 if version == 0 and tables == 0 else -1


def migrate(connection: sqlite3.Connection, steps: tuple[Callable[[sqlite3.Connection], None], ...] = STEPS) -> None:
    """Run the steps that the file lacks, all in one transaction: nobody ever finds a log half made or half migrated. The connection is in
    autocommit mode; several programs may do this at once.

    Raises: sqlite3.Error; the log is then as it was.
    """
    connection.execute("BEGIN IMMEDIATE")
    try:
        version = version_of(connection)
        for number, step in enumerate(steps[version:] if version >= 0 else (), version + 1):
            step(connection)
            connection.execute(f"PRAGMA application_id = {APPLICATION}")
            connection.execute(f"PRAGMA user_version = {number}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
