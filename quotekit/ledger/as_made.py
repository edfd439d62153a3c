"""Whether the tables of a ledger are as the migrations made them, with what forbids a change of a row.

A file ledger is compared with a new one in memory, made by the same migrations: each table, index and trigger by the
words that made it. On a server the triggers are compared by what they do and when, tables by columns and indexes.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from quotekit.ledger.migrations import ALL, FOREVER, STOP_WORDS, number_of
from quotekit.ledger.tables import METADATA, MIGRATIONS

if TYPE_CHECKING:
    from sqlalchemy import Connection

_BEFORE_EACH_CHANGE = 2 + 8 + 16 + 32
"""PostgreSQL's `tgtype` of a trigger BEFORE DELETE, UPDATE and TRUNCATE, once a statement."""


class _Made(NamedTuple):
    """A table, an index or a trigger of a file ledger."""

    kind: str
    table: str
    words: str


def not_as_made(connection: Connection) -> Iterator[str]:
    """What differs from what the migrations made, in words."""
    yield from _migrations_told(connection)
    yield from _file(connection) if connection.dialect.name == "sqlite" else _server(connection)


def _migrations_told(connection: Connection) -> Iterator[str]:
    from sqlalchemy import select

    rows = connection.execute(select(MIGRATIONS.c.number, MIGRATIONS.c.name).order_by(MIGRATIONS.c.number)).all()
    if [tuple(row) for row in rows] != [(step.number, step.name) for step in ALL[: len(rows)]]:
        yield "The numbers of its migrations were changed."


def _file(connection: Connection) -> Iterator[str]:
    here, made = _made_in(connection), _made_anew(number_of(connection))
    off = {thing.table for name, thing in made.items() if thing.kind == "trigger" and here.get(name) != thing}
    yield from (_taken_off(table) for table in FOREVER if table in off)
    for name, thing in made.items():
        if thing.kind != "trigger" and here.get(name) != thing:
            yield f"The {thing.kind} {name} is not as it was made."
    added = [name for name, thing in here.items() if thing.kind == "trigger" and name not in made]
    yield from (f"A trigger was added ({name})." for name in added if here[name].table in METADATA.tables)


def _made_in(connection: Connection) -> dict[str, _Made]:
    rows = connection.exec_driver_sql("SELECT name, type, tbl_name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return {str(name): _Made(kind, table, " ".join(sql.split())) for name, kind, table, sql in rows}


def _made_anew(number: int) -> dict[str, _Made]:
    from sqlalchemy import create_engine

    engine = create_engine("sqlite://")
    with engine.connect() as connection:
        for migration in ALL[:number]:
            migration.apply(connection)
        found = _made_in(connection)
    engine.dispose()
    return found


def _server(connection: Connection) -> Iterator[str]:
    from sqlalchemy import text

    query = text(
        "SELECT c.relname, t.tgname, t.tgtype, t.tgenabled, t.tgqual IS NULL, p.prosrc FROM pg_trigger t "
        "JOIN pg_class c ON c.oid = t.tgrelid JOIN pg_proc p ON p.oid = t.tgfoid "
        "WHERE NOT t.tgisinternal AND c.oid = to_regclass(:name)"
    )
    for table in METADATA.tables:
        rows = connection.execute(query, {"name": table}).all()
        guards = {row[1] for row in rows if row[2] == _BEFORE_EACH_CHANGE and row[3] in ("O", "A") and row[4]}
        words = {row[1]: " ".join(row[5].split()) for row in rows}
        name = f"{table}_unchanged"
        if table in FOREVER and (name not in guards or words.get(name) != STOP_WORDS):
            yield _taken_off(table)
        yield from (f"A trigger was added ({added})." for added in words if table not in FOREVER or added != name)
    yield from _server_tables(connection)


def _server_tables(connection: Connection) -> Iterator[str]:
    """Columns and indexes; columns that later migrations added are no change."""
    from sqlalchemy import inspect

    looked = inspect(connection)
    for name, table in METADATA.tables.items():
        columns = {column["name"] for column in looked.get_columns(name)}
        indexes = {str(index["name"]) for index in looked.get_indexes(name)}
        keys = looked.get_pk_constraint(name)["constrained_columns"]
        whole = columns >= set(table.columns.keys()) and indexes >= {str(index.name) for index in table.indexes}
        unique = {frozenset(one["column_names"]) for one in looked.get_unique_constraints(name)}
        if not whole or set(keys) != set(table.primary_key.columns.keys()) or not unique >= _unique(name):
            yield f"The table {name} is not as it was made."


def _unique(name: str) -> set[frozenset[str]]:
    from sqlalchemy import UniqueConstraint

    table = METADATA.tables[name]
    alone = {frozenset({column.name}) for column in table.columns if column.unique}
    together = {frozenset(one.columns.keys()) for one in table.constraints if isinstance(one, UniqueConstraint)}
    return alone | together


def _taken_off(table: str) -> str:
    return f"What forbids changes was taken off ({table})."
