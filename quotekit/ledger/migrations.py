"""Changes of a ledger's tables, numbered, each in a transaction of its own.

A migration is written once and never edited: what it made may be years old. The next one is added below.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from quotekit.ledger.tables import METADATA, MIGRATIONS

if TYPE_CHECKING:
    from sqlalchemy import Connection


class Migration(NamedTuple):
    """One step from a ledger of the number before to this number."""

    number: int
    name: str
    apply: Callable[[Connection], None]


def _first_tables(connection: Connection) -> None:
    from sqlalchemy import text

    METADATA.create_all(connection, checkfirst=False)
    for statement in _never_changed(connection.dialect.name):
        connection.execute(text(statement))


FOREVER = ("entries", "files", "entry_files")
"""Tables whose rows are never changed."""

STOP_WORDS = "BEGIN RAISE EXCEPTION 'rows of % are never changed', TG_TABLE_NAME; END"
"""What a server does instead of a change."""


def _never_changed(dialect: str) -> Iterator[str]:
    """What makes a change or a removal of a row fail, in the words of each database."""
    if dialect == "sqlite":
        for table in FOREVER:
            for doing in ("UPDATE", "DELETE"):
                name = f"{table}_no_{doing.lower()}"
                stop = f"SELECT RAISE(ABORT, 'rows of {table} are never changed')"
                yield f"CREATE TRIGGER {name} BEFORE {doing} ON {table} BEGIN {stop}; END"
        return
    yield (f"CREATE FUNCTION never_changed() RETURNS trigger LANGUAGE plpgsql AS $$ {STOP_WORDS} $$")
    for table in FOREVER:
        yield (
            f"CREATE TRIGGER {table}_unchanged BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION never_changed()"
        )


ALL: tuple[Migration, ...] = (Migration(1, "first tables", _first_tables),)


def newest() -> int:
    """The number of the ledger this program writes."""
    return ALL[-1].number


def number_of(connection: Connection) -> int:
    """The number a ledger stands at; 0 for one without tables, or with tables that are not of a ledger."""
    from sqlalchemy import func, inspect, select

    looked = inspect(connection)
    if not looked.has_table(MIGRATIONS.name):
        return 0
    if not {column["name"] for column in looked.get_columns(MIGRATIONS.name)} >= {"number", "name", "at"}:
        return 0
    found = connection.execute(select(func.max(MIGRATIONS.c.number))).scalar()
    return int(found or 0)


def in_the_way(connection: Connection) -> list[str]:
    """Tables of another program: any in a file, those of our names on a server that may serve others too."""
    from sqlalchemy import inspect

    names = inspect(connection).get_table_names()
    return sorted(name for name in names if connection.dialect.name == "sqlite" or name in METADATA.tables)
