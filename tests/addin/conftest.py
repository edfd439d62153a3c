"""What tests of the extension may use: the Python that can speak to a real office."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from tests.conftest import in_ci
from tests.recalculation.office import SYSTEM_PYTHON

collect_ignore = ["slow_engine.py"]  # a program of its own


@pytest.fixture(scope="session")
def uno_python(soffice: str) -> str:
    """A Python with the office's modules beside an office; skipped with a reason where missing, a failure with CI."""
    known = Path(SYSTEM_PYTHON).exists()
    if known and not subprocess.run([SYSTEM_PYTHON, "-c", "import uno"], capture_output=True, check=False).returncode:
        return SYSTEM_PYTHON
    reason = f"{SYSTEM_PYTHON} has no uno (Debian package python3-uno)"
    if in_ci():
        pytest.fail(f"{reason}; with CI set this test must run")
    pytest.skip(reason)
