"""One LibreOffice for all tests of this folder, driven by the system's Python."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator

import pytest

from tests.conftest import in_ci
from tests.recalculation.office import SYSTEM_PYTHON, Office, running_office

collect_ignore = ["office_driver.py"]


@pytest.fixture(scope="session")
def office(soffice: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """A running LibreOffice; skipped with a reason where it or its bridge is missing, a failure with CI set."""
    bridge = subprocess.run([SYSTEM_PYTHON, "-c", "import uno"], capture_output=True, check=False)
    if bridge.returncode != 0:
        reason = f"{SYSTEM_PYTHON} has no uno (Debian package python3-uno)"
        if in_ci():
            pytest.fail(f"{reason}; with CI set this test must run")
        pytest.skip(reason)
    with running_office(soffice, tmp_path_factory.mktemp("office")) as running:
        yield running
