"""What the engine sees of the office's environment: the person's own settings, nothing that the office is built of."""

from __future__ import annotations

import doctest
import os
from pathlib import Path

import pytest

from quotekit.addin.office import environment
from quotekit.addin.office.environment import engine_environment

OF_OFFICE = {
    "PYTHONPATH": "/opt/office/program", "PYTHONHOME": "/opt/office/program/python", "PYTHONSTARTUP": "/x.py",
    "LD_LIBRARY_PATH": "/opt/office/program", "DYLD_LIBRARY_PATH": "/opt/office", "LD_PRELOAD": "x.so",
    "URE_BOOTSTRAP": "vnd.sun.star.pathname:/opt/office/program/fundamentalrc", "UNO_PATH": "/opt/office/program",
    "SAL_USE_VCLPLUGIN": "gen", "SAL_LOG": "+WARN", "SSL_CERT_FILE": "/opt/office/cert.pem", "GIO_MODULE_DIR": "/x",
    "OOO_FORCE_DESKTOP": "gnome", "VIRTUAL_ENV": "/x", "DISPLAY": ":0",
}  # fmt: skip
OF_PERSON = {
    "HOME": "/home/ann", "LANG": "de_DE.UTF-8", "LC_ALL": "C", "TZ": "Europe/Berlin", "TMPDIR": "/var/tmp",
    "QUOTEKIT_SOFFICE": "/opt/office/program/soffice", "PGPASSFILE": "/home/ann/.pgpass", "SystemRoot": "C:\\Windows",
}  # fmt: skip


def test_only_the_persons_own_is_kept() -> None:
    """Each of the office's variables would make another Python load the wrong modules or libraries."""
    assert engine_environment({**OF_OFFICE, **OF_PERSON}) == {**OF_PERSON, "PYTHONUTF8": "1"}


@pytest.mark.parametrize(
    ("path", "kept"),
    [
        (["/opt/office/program", "/usr/bin"], ["/usr/bin"]),
        (["/usr/bin", "/opt/office/program/", "/opt/office"], ["/usr/bin"]),
        (["/opt/office/program/python/bin", "/usr/bin", "/opt/office2/bin"], ["/usr/bin", "/opt/office2/bin"]),
        (["/usr/bin", "", "/bin"], ["/usr/bin", "", "/bin"]),
    ],
)
def test_the_offices_folders_are_taken_off_the_path(path: list[str], kept: list[str]) -> None:
    """What lies within it too; a folder whose name only begins alike stays."""
    found = engine_environment({"PATH": os.pathsep.join(path)}, "/opt/office")["PATH"]
    assert found == os.pathsep.join(kept)


def test_a_link_to_the_office_is_its_folder(tmp_path: Path) -> None:
    """Debian links the office's programs into other folders."""
    (tmp_path / "office").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "office")
    found = engine_environment({"PATH": f"{tmp_path / 'link'}{os.pathsep}/bin"}, str(tmp_path / "office"))
    assert found["PATH"] == "/bin"


def test_without_a_known_office_the_path_stays() -> None:
    assert engine_environment({"PATH": "/opt/office/program:/bin"})["PATH"] == "/opt/office/program:/bin"


def test_its_example_holds() -> None:
    """The folder of what runs in the office is not searched for examples, as most of it needs the office."""
    assert doctest.testmod(environment) == doctest.TestResults(failed=0, attempted=1)
