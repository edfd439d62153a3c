"""Every test of the ledger runs on both databases: a file, and a server of Debian's package on a free port."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from quotekit.ledger.ledger import Ledger
from quotekit.ledger.open_ledger import open_ledger
from tests.conftest import in_ci
from tests.ledger.postgres import PROGRAMS, Server, programs, quick_disk, running_server


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """A running PostgreSQL; skipped with a reason where its programs are missing, a failure with CI set."""
    if programs() is None:
        reason = f"{PROGRAMS}/*/bin/initdb is missing (Debian package postgresql)"
        if in_ci():
            pytest.fail(f"{reason}; with CI set this test must run")
        pytest.skip(reason)
    with running_server() as running:
        yield running


@pytest.fixture(params=["SQLite", "PostgreSQL"])
def address(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Where a ledger of the test's own can be: a path or a URL."""
    if request.param == "SQLite":
        yield from _in_memory(tmp_path)
        return
    running: Server = request.getfixturevalue("server")
    yield running.empty_database()


@pytest.fixture
def ledger(address: str) -> Iterator[Ledger]:
    """A new ledger on either database."""
    with open_ledger(address) as opened:
        yield opened


def _in_memory(usual: Path) -> Iterator[str]:
    with TemporaryDirectory(prefix="quotekit-ledger-", dir=quick_disk() or usual) as folder:
        yield str(Path(folder) / "shop ledger.db")
