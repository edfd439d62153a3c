"""Opens a ledger: made on first use, brought up to date with a backup first, refused where it is from the future."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.ledger.address import Address, read_address
from quotekit.ledger.connect import adding, connect
from quotekit.ledger.end_note import note_beside, read_ends
from quotekit.ledger.fault import fault, in_plain_words
from quotekit.ledger.ledger import Ledger, utc_now
from quotekit.ledger.migrations import ALL, Migration, in_the_way, number_of

if TYPE_CHECKING:
    from collections.abc import Sequence


def open_ledger(
    address: str | Path | Address,
    *,
    create: bool = True,
    as_it_is: bool = False,
    migrations: Sequence[Migration] = ALL,
) -> Ledger:
    """The ledger of a path or URL. Raises LedgerFault where it can't be used.

    `create` False refuses what is not there, a file or the tables: a command that only reads makes no empty ledger.
    `as_it_is` True leaves an older one as it is: a backup is never changed.
    """
    found = address if isinstance(address, Address) else read_address(address)
    if found.path is not None:
        _look_at_file(found.path, create=create)
    connection = connect(found)
    try:
        ledger = Ledger(connection, found)
        _bring_up_to_date(ledger, migrations, create=create, as_it_is=as_it_is)
    except BaseException:
        connection.close()
        raise
    return ledger


def _look_at_file(path: Path, *, create: bool) -> None:
    shown = str(path)
    if path.is_dir():
        raise fault(shown, "ledger-folder", "A folder of this name is in the way.", "Give another name with --ledger.")
    if path.exists() and not path.is_file():
        raise fault(shown, "ledger-folder", "What is there is no file.", "Give another name with --ledger.")
    if not path.parent.is_dir():
        remedy = "Make the folder, or give another with --ledger."
        raise fault(shown, "ledger-folder", f"There is no folder {path.parent}.", remedy)
    if path.exists() and path.stat().st_size:
        return
    ends = read_ends(path)
    if ends:
        message = f"The ledger is {'empty' if path.exists() else 'gone'}: its note tells of {ends[-1].seq} entries."
        remedy = f"Put back the latest backup. To begin a new one, move the file {note_beside(path).name} away."
        raise fault(shown, "ledger-missing", message, remedy)
    if not create:
        raise fault(shown, "ledger-missing", "There is no such ledger.", _MADE_BY)


_MADE_BY = "Check the name given with --ledger. A ledger is made by the first `quotekit issue`."


def _bring_up_to_date(ledger: Ledger, migrations: Sequence[Migration], *, create: bool, as_it_is: bool) -> None:
    here = _number(ledger)
    target = migrations[-1].number
    if here > target:
        message = f"This ledger was written by a newer quotekit (number {here}; this one knows {target})."
        raise fault(ledger.address.shown, "ledger-newer", message, "Install the newer quotekit. Nothing was changed.")
    if as_it_is and here == 0:
        raise _no_ledger(ledger, "")
    if here == target or as_it_is:
        return
    if here == 0 and not create:
        _refuse_strangers(ledger)
        raise fault(ledger.address.shown, "ledger-missing", "There is no ledger in this database.", _MADE_BY)
    with ledger.alone():
        here = _number(ledger)
        if here == 0:
            _refuse_strangers(ledger)
            _prepare_file(ledger)
        elif here < target:
            _back_up(ledger, here, target)
        for migration in migrations:
            if migration.number > here:
                _apply(ledger, migration)


def _number(ledger: Ledger) -> int:
    connection = ledger.raw_connection()
    with in_plain_words(ledger.address.shown), connection.begin():
        return number_of(connection)


def _refuse_strangers(ledger: Ledger) -> None:
    """What holds the tables of another program gets none of ours."""
    connection = ledger.raw_connection()
    with in_plain_words(ledger.address.shown), connection.begin():
        found = in_the_way(connection)
    if found:
        raise _no_ledger(ledger, f": it holds the tables {', '.join(found[:5])}")


def _no_ledger(ledger: Ledger, why: str) -> Exception:
    remedy = "Check the name; if it is right, put back the latest backup."
    return fault(ledger.address.shown, "ledger-damaged", f"This is no ledger{why}.", remedy)


def _prepare_file(ledger: Ledger) -> None:
    """The write-ahead log is a lasting setting of the file, made before the first table."""
    if ledger.address.path is None:
        return
    connection = ledger.raw_connection()
    with in_plain_words(ledger.address.shown):
        raw = connection.connection.driver_connection
        raw.execute("PRAGMA journal_mode = WAL")  # type: ignore[union-attr]
        connection.rollback()


def _back_up(ledger: Ledger, here: int, target: int) -> None:
    from quotekit.ledger.backup import back_up

    path = ledger.address.path
    folder = path.parent if path is not None else Path.cwd()
    start = path.stem if path is not None else "ledger"
    for count in range(1, 1000):
        copy = folder / f"{start} before {target} ({here}){'' if count == 1 else f' {count}'}.db"
        if not copy.exists():
            back_up(ledger, copy)
            return
    raise fault(ledger.address.shown, "ledger-folder", "No free name for a backup.", "Move old backups away.")


def _apply(ledger: Ledger, migration: Migration) -> None:
    """One migration and its record, in one transaction."""
    from quotekit.ledger.tables import MIGRATIONS

    row = {"number": migration.number, "name": migration.name, "at": utc_now()}
    with in_plain_words(ledger.address.shown), adding(ledger.raw_connection()) as connection:
        migration.apply(connection)
        connection.execute(MIGRATIONS.insert().values(row))
