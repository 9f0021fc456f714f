"""The ledger's own migrations, oldest first. Never edit one that was released: add another."""

import sqlite3

from canalclock.ledger.migrations import Migration

_TABLES = """
CREATE TABLE ledger (
    clinic TEXT PRIMARY KEY,
    epoch TEXT NOT NULL,
    feed INTEGER NOT NULL,
    begun_at_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE visit (
    clinic TEXT NOT NULL REFERENCES ledger,
    visit TEXT NOT NULL,
    head_seq INTEGER NOT NULL,
    head_digest TEXT NOT NULL,
    recorded_at_ms INTEGER NOT NULL,
    begun_feed INTEGER NOT NULL,
    PRIMARY KEY (clinic, visit)
) STRICT, WITHOUT ROWID;

CREATE TABLE entry (
    clinic TEXT NOT NULL,
    visit TEXT NOT NULL,
    seq INTEGER NOT NULL CHECK (seq > 0),
    feed INTEGER NOT NULL,
    id TEXT NOT NULL,
    kind TEXT NOT NULL,
    device TEXT NOT NULL,
    device_seq INTEGER NOT NULL,
    recorded_at_ms INTEGER NOT NULL,
    prev TEXT NOT NULL,
    digest TEXT NOT NULL,
    line_digest TEXT NOT NULL,
    line BLOB NOT NULL,
    PRIMARY KEY (clinic, visit, seq),
    UNIQUE (clinic, visit, prev),
    UNIQUE (clinic, id),
    UNIQUE (clinic, feed),
    FOREIGN KEY (clinic, visit) REFERENCES visit
) STRICT;

CREATE INDEX entry_by_device ON entry (clinic, device, device_seq);

CREATE TABLE signature (
    clinic TEXT NOT NULL,
    visit TEXT NOT NULL,
    number INTEGER NOT NULL CHECK (number > 0),
    feed INTEGER NOT NULL,
    seq INTEGER NOT NULL,
    digest TEXT NOT NULL,
    staff TEXT NOT NULL,
    signed_at_ms INTEGER NOT NULL,
    fold_version INTEGER NOT NULL,
    totals BLOB NOT NULL,
    PRIMARY KEY (clinic, visit, number),
    UNIQUE (clinic, feed),
    FOREIGN KEY (clinic, visit, seq) REFERENCES entry
) STRICT;

CREATE TABLE kit (
    clinic TEXT NOT NULL REFERENCES ledger,
    kit TEXT NOT NULL,
    protocol TEXT,
    version INTEGER,
    title TEXT NOT NULL,
    stored_at_ms INTEGER NOT NULL,
    document BLOB NOT NULL,
    PRIMARY KEY (clinic, kit)
) STRICT;
"""

_KEPT = ("entry", "signature", "kit")


def tables_of_the_ledger(connection: sqlite3.Connection) -> None:
    """Entries, signatures and kits, which the store itself refuses to change or delete."""
    for statement in _TABLES.split(";\n"):
        if statement.strip():
            connection.execute(statement)
    for table in _KEPT:
        for act in ("UPDATE", "DELETE"):
            connection.execute(
                f"CREATE TRIGGER {table}_refuses_{act.lower()} BEFORE {act} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, 'the ledger only grows: no {act} on {table}'); END"
            )


LEDGER_MIGRATIONS: tuple[Migration, ...] = (tables_of_the_ledger,)
