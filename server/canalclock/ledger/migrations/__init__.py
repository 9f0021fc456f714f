"""Numbered changes of the store's tables. Each commits together with the note that it ran.

Stored events are left alone by every one of them. A family is a list of functions; its first
has number 1. A store that a later version has changed is refused, not guessed at.
"""

import sqlite3
from collections.abc import Callable, Sequence

from canalclock.ledger.port import LedgerTooNew

Migration = Callable[[sqlite3.Connection], None]

_NOTES = """
CREATE TABLE IF NOT EXISTS migration (
    family TEXT NOT NULL,
    number INTEGER NOT NULL,
    name TEXT NOT NULL,
    ran_at_ms INTEGER NOT NULL,
    PRIMARY KEY (family, number)
) STRICT
"""


def migrate(
    connection: sqlite3.Connection,
    family: str,
    migrations: Sequence[Migration],
    now_ms: int,
) -> list[str]:
    """
    Run what has not run yet.

    Args:
        connection: Autocommitting (`isolation_level` None), and the only writer.
        family: Name of the tables' owner.
        migrations: All of the family's migrations, in order.
        now_ms: For the note. [ms since 1970, UTC]

    Returns:
        The names of those that ran now.

    Raises:
        LedgerTooNew: More of them ran than this version knows.
    """
    connection.execute(_NOTES)
    ran = pending_from(connection, family)
    if ran > len(migrations):
        raise LedgerTooNew(
            f"found migration {ran} of the {family} tables, "
            f"expected at most {len(migrations)}: a later version wrote this data"
        )
    names: list[str] = []
    for number, migration in enumerate(migrations[ran:], start=ran + 1):
        name = migration.__name__
        connection.execute("BEGIN IMMEDIATE")
        try:
            migration(connection)
            connection.execute(
                "INSERT INTO migration (family, number, name, ran_at_ms) VALUES (?, ?, ?, ?)",
                (family, number, name, now_ms),
            )
        except BaseException:
            connection.execute("ROLLBACK")
            raise
        connection.execute("COMMIT")
        names.append(name)
    return names


def pending_from(connection: sqlite3.Connection, family: str) -> int:
    """How many migrations of a family have run."""
    (ran,) = connection.execute(
        "SELECT coalesce(max(number), 0) FROM migration WHERE family = ?", (family,)
    ).fetchone()
    return int(ran)
