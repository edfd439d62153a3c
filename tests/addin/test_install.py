"""Refusals of `quotekit addin`, each with exit code 3, what is wrong and what to do; with stand-ins for the office."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from quotekit.addin import in_profile, install
from quotekit.addin.refusals import CannotInstall
from quotekit.cli.main import main


@pytest.fixture
def stand_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An office beside whose program lies a Python that answers with what the file `says` holds for a word."""
    folder = tmp_path / "office" / "program"
    folder.mkdir(parents=True)
    office = folder / "soffice"
    office.write_text("#!/bin/sh\n")
    python = folder / "python"
    python.write_text(
        f"#!{sys.executable} -S\n"
        "import json, pathlib, sys\n"
        "says = json.loads(pathlib.Path(__file__).with_name('says').read_text())\n"
        "told = says[json.load(sys.stdin)['do']]\n"
        "sys.exit(told) if isinstance(told, str) else print('a warning of the office\\n' + json.dumps(told))\n"
    )
    for one in (office, python):
        one.chmod(0o755)
    monkeypatch.setenv("QUOTEKIT_SOFFICE", str(office))
    monkeypatch.setattr(install, "engine_command", lambda _: ["quotekit", "answer"])
    return folder


def says(folder: Path, **answers: object) -> None:
    import json

    where = {"where": {"profile": str(folder.parent / "profile")}}
    (folder / "says").write_text(json.dumps({**where, **answers}))


REFUSED = {
    "office-open": ({"refused": "open", "said": ""}, "LibreOffice is open: its settings can't be changed now."),
    "office-not-started": ({"refused": "not started", "said": "It ended with code 77."}, "It ended with code 77."),
    "office-refused": ({"refused": "refused", "said": "disk is full", "folder": ""}, "disk is full"),
    "office-refused+broke": ("Traceback\nValueError: odd", "ValueError: odd"),
    "office-without-python": ({"refused": "no uno", "said": ""}, "has no Python, which the extension is written in"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_the_office_refuses_is_said(stand_in: Path, what: str, capsys: pytest.CaptureFixture[str]) -> None:
    told, said = REFUSED[what]
    says(stand_in, install=told)
    with pytest.raises(CannotInstall) as caught:
        install.install("1")
    assert caught.value.problem.code == what.partition("+")[0]
    assert main(["addin", "install"]) == 3
    printed = capsys.readouterr().err
    assert said in printed and "Traceback" not in printed and "1 error." in printed


def test_what_was_done_is_said(stand_in: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where, what was there before, what to do next, how to undo."""
    says(stand_in, install={"before": "0.1", "after": "0.2", "folder": "a.tmp_"})
    assert main(["addin", "install"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "quotekit 0.2 is in LibreOffice now: a menu Quote, a toolbar and cell functions.",
        "    0.1 was there before.",
        f"    office   {stand_in / 'soffice'}",
        f"    settings {stand_in.parent / 'profile'}",
        "Start LibreOffice and open a shop book or a job.",
        "`quotekit addin remove` takes it out again.",
    ]


def test_the_office_is_started_outside_of_a_virtual_environment(tmp_path: Path) -> None:
    """Seen: with one first on the path, the office's own Python does not find the office's modules."""
    (tmp_path / "venv" / "bin").mkdir(parents=True)
    (tmp_path / "venv" / "pyvenv.cfg").touch()
    given = {"PATH": os.pathsep.join([str(tmp_path / "venv" / "bin"), "/usr/bin"]), "VIRTUAL_ENV": "x", "HOME": "/h"}
    own = install._own_environment(given)
    assert (own["PATH"], own["HOME"], "VIRTUAL_ENV" in own) == ("/usr/bin", "/h", False)


def test_an_office_without_python(
    stand_in: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Debian has it in a package of its own; the menu could never run without."""
    monkeypatch.setattr(install, "pythons_of", lambda _: ["/no/python", sys.executable])
    for word in ("install", "remove", "status"):
        assert main(["addin", word]) == 3
        assert "has no Python, which the extension is written in" in capsys.readouterr().err


def test_no_office_at_all(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setenv("QUOTEKIT_SOFFICE", "/no/office")
    for word in ("install", "remove", "status"):
        assert main(["addin", word]) == 3
        assert "QUOTEKIT_SOFFICE names /no/office" in capsys.readouterr().err


def test_an_office_that_takes_too_long(
    stand_in: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    says(stand_in)
    office = install._Office(None)
    monkeypatch.setattr(install, "SECONDS", 0.3)
    (stand_in / "python").write_text("#!/bin/sh\nexec sleep 60\n")
    with pytest.raises(CannotInstall) as caught:
        office.change("install", file="file:///x.oxt")
    assert caught.value.problem.code == "office-not-started"
    assert caught.value.problem.text == "It did not answer within 0.3 seconds."


def test_root_leaves_another_persons_settings_alone(
    stand_in: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`sudo quotekit addin install` with the person's own home would leave files that he can't write to."""
    says(stand_in, install={"before": None, "after": "1", "folder": ""})
    monkeypatch.setattr(install, "owner_of", lambda _: "ann")
    with pytest.raises(CannotInstall) as caught:
        install.install("1")
    assert caught.value.problem.code == "office-of-another"
    assert main(["addin", "install"]) == 3
    printed = capsys.readouterr().err
    assert "belong to ann, and you are root" in printed and "Run this as ann, without sudo." in printed


def test_whose_settings_they_are(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The nearest folder that is there decides; root in root's own home is no trouble."""
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    assert install.owner_of(tmp_path) == ""
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    if os.getuid() == 0:
        assert install.owner_of(tmp_path / "not" / "there") == ""
        os.chown(tmp_path, 65534, 65534)
    assert install.owner_of(tmp_path / "not" / "there") == tmp_path.owner()


def test_the_profile_that_is_meant_is_told(stand_in: Path, tmp_path: Path) -> None:
    """The office is told the folder above `user`; a person who names `user` itself means the same."""
    says(stand_in)
    settings = tmp_path / "mine" / "user"
    settings.mkdir(parents=True)
    (settings / "registrymodifications.xcu").write_text("")
    for named in (settings, settings.parent):
        assert install._Office(named)._address == settings.parent.as_uri()


def kept(profile: Path, place: str, name: str, identifier: str = "org.quotekit") -> Path:
    folder = profile / "user" / place / f"{name}.tmp_" / "quotekit.oxt"
    folder.mkdir(parents=True)
    (folder / "engine.json").write_text('{"version": "1", "command": ["x"]}')
    (folder / "description.xml").write_text(f'<description><identifier value="{identifier}"/></description>')
    folder.parent.with_name(f"{name}.tmp").write_text("")
    return folder.parent


def test_only_our_own_leftovers_are_swept(tmp_path: Path) -> None:
    packages = "uno_packages/cache/uno_packages"
    old, new = kept(tmp_path, packages, "old"), kept(tmp_path, packages, "new")
    half, other = kept(tmp_path, "extensions/tmp/extensions", "half"), kept(tmp_path, packages, "other", "test.other")
    install.sweep(tmp_path, kept="new.tmp_")
    assert [path.exists() for path in (old, new, half, other)] == [False, True, False, True]
    assert not old.with_name("old.tmp").exists() and other.with_name("other.tmp").exists()
    install.sweep(tmp_path, kept="")
    assert not new.exists() and other.exists()


BAR = "UIElements/States/T['private:resource/toolbar/addon_org.quotekit.toolbar']"


def test_what_the_office_remembers_of_our_toolbar_goes(tmp_path: Path) -> None:
    """Whole entries of ours, one a line; what only names us in a value is the owner's, as is an entry cut short."""
    kept = [
        '<?xml version="1.0" encoding="UTF-8"?>\n<oor:items>\n',
        '<item oor:path="/org.openoffice.Office.UI"><prop><value>org.quotekit</value></prop></item>\r\n',
        f'<item oor:path="/org/{BAR}"><prop>\n',
        "</oor:items>",
    ]
    ours = f'<item oor:path="/org/{BAR}"><prop oor:name="DockPos"><value>0,3</value></prop></item>\n'
    settings = tmp_path / "user" / "registrymodifications.xcu"
    settings.parent.mkdir()
    install.forget(tmp_path)
    settings.write_bytes("".join([kept[0], ours, kept[1], ours, *kept[2:]]).encode())
    settings.chmod(0o600)
    install.forget(tmp_path)
    assert settings.read_bytes() == "".join(kept).encode()
    assert settings.stat().st_mode & 0o777 == 0o600
    assert [path.name for path in settings.parent.iterdir()] == [settings.name]
    before = settings.stat()
    install.forget(tmp_path)
    assert settings.stat() == before


def test_status_of_a_damaged_extension(stand_in: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file that can't be read is as none; installing again mends it."""
    says(stand_in)
    folder = kept(stand_in.parent / "profile", "uno_packages/cache/uno_packages", "a")
    assert main(["addin", "status"]) == 0
    said = capsys.readouterr().out
    assert "quotekit 1 is in LibreOffice, which does not fit" in said
    assert "It does not answer: x: No such file or directory. `quotekit addin install` mends it." in said
    (folder / "quotekit.oxt" / "engine.json").write_bytes(b"\xff{")
    assert main(["addin", "status"]) == 0
    assert "quotekit is not in LibreOffice" in capsys.readouterr().out


def test_the_reason_of_the_office_is_the_innermost() -> None:
    class Fault(Exception):
        def __init__(self, message: str, cause: object = None) -> None:
            self.Message, self.Cause = message, cause

    assert in_profile.reason(Fault("outer", Fault("the disk\nis full"))) == "the disk is full"
    assert in_profile.reason(ValueError("plain")) == "plain"
