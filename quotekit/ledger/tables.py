"""The tables of a ledger, alike in SQLite and PostgreSQL."""

from __future__ import annotations

from sqlalchemy import (
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    text,
)

METADATA = MetaData()

ENTRIES = Table(
    "entries",
    METADATA,
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("at", String(32), nullable=False),
    Column("day", String(10), nullable=False),
    Column("who", Text, nullable=False),
    Column("why", Text, nullable=False),
    Column("kind", String(20), nullable=False),
    Column("job", Text, nullable=False),
    Column("job_key", Text, nullable=False),
    Column("version", Integer),
    Column("number", Integer),
    Column("body", Text, nullable=False),
    Column("before", String(64), nullable=False),
    Column("hash", String(64), nullable=False, unique=True),
    UniqueConstraint("kind", "number", name="entries_number"),
    Index("entries_job", "job_key", "seq"),
    Index("entries_kind", "kind", "day"),
)
Index(
    "entries_version",
    ENTRIES.c.job_key,
    ENTRIES.c.version,
    unique=True,
    sqlite_where=text("kind = 'issued'"),
    postgresql_where=text("kind = 'issued'"),
)

FILES = Table(
    "files",
    METADATA,
    Column("sha256", String(64), primary_key=True),
    Column("name", Text, nullable=False),
    Column("size", Integer, nullable=False),
    Column("packed", LargeBinary, nullable=False),
)

ENTRY_FILES = Table(
    "entry_files",
    METADATA,
    Column("seq", Integer, ForeignKey("entries.seq"), primary_key=True),
    Column("sha256", String(64), ForeignKey("files.sha256"), primary_key=True),
)

MIGRATIONS = Table(
    "migrations",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("name", Text, nullable=False),
    Column("at", String(32), nullable=False),
)
