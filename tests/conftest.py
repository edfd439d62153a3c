"""What every test may use: soffice where it is installed, and hypothesis without a clock."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from tests.browser.open_page import Browser, running_browser
from tests.left_behind import LeftBehind
from tests.recalculation.office import SYSTEM_PYTHON, Office, running_office

collect_ignore = ["recalculation/office_driver.py"]

EXAMPLES = int(os.environ.get("QUOTEKIT_EXAMPLES", "25"))
"""How many cases a property is tried on that does not say its own number; set it for a longer run."""
settings.register_profile("steady", deadline=None, derandomize=True, max_examples=EXAMPLES)
settings.load_profile("steady")


_left_behind = LeftBehind(Path.cwd())


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown(item: pytest.Item) -> None:
    """A test that writes into the folder in which it was started fails; of several at once, one beside it did."""
    names = _left_behind.names()
    if names:
        pytest.fail(f"left in {Path.cwd()} by {item.nodeid}, or by a test that ran at the same time: {names}")


def in_ci() -> bool:
    """True where nothing may be skipped: the environment says `CI=true`."""
    return os.environ.get("CI", "").lower() in {"true", "1", "yes"}


def _program(name: str, package: str) -> str:
    found = shutil.which(name)
    if found is None and in_ci():
        pytest.fail(f"{name} is not installed (Debian package {package}); with CI set this test must run")
    if found is None:
        pytest.skip(f"{name} is not installed (Debian package {package})")
    return found


@pytest.fixture(scope="session")
def soffice() -> str:
    """The path of LibreOffice; skipped with a reason where it is missing, a failure with CI set."""
    return _program("soffice", "libreoffice-calc")


@pytest.fixture(scope="session")
def office(soffice: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """A running LibreOffice; skipped with a reason where it or its bridge is missing, a failure with CI set."""
    known = Path(SYSTEM_PYTHON).exists()
    if not known or subprocess.run([SYSTEM_PYTHON, "-c", "import uno"], capture_output=True, check=False).returncode:
        reason = f"{SYSTEM_PYTHON} has no uno (Debian package python3-uno)"
        if in_ci():
            pytest.fail(f"{reason}; with CI set this test must run")
        pytest.skip(reason)
    with running_office(soffice, tmp_path_factory.mktemp("office")) as running:
        yield running


@pytest.fixture(scope="session")
def pdftoppm() -> str:
    """The path of the page-to-picture program; skipped or failed like soffice."""
    return _program("pdftoppm", "poppler-utils")


@pytest.fixture(scope="session")
def pdftotext() -> str:
    """The path of the program that reads the text of a PDF; skipped or failed like soffice."""
    return _program("pdftotext", "poppler-utils")


@pytest.fixture(scope="session")
def npm_folder() -> Path:
    """The folder of npm packages (`npm install` in tests/); skipped with a reason where it is missing."""
    folder = Path(os.environ.get("QUOTEKIT_NPM") or Path(__file__).parent / "node_modules")
    if folder.is_dir():
        return folder
    reason = f"{folder} is missing: run `npm install --no-package-lock` in the folder tests"
    if in_ci():
        pytest.fail(f"{reason}; with CI set this test must run")
    pytest.skip(reason)


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """A running Chromium; skipped with a reason where it or its driver is missing, a failure with CI set."""
    chromium, driver = _program("chromium", "chromium"), _program("chromedriver", "chromium-driver")
    with running_browser(chromium, driver, tmp_path_factory.mktemp("browser")) as running:
        yield running
