"""Makes the extension of LibreOffice: one zip of the component's modules and settings, the same bytes each time."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Mapping, Sequence
from importlib.resources import files
from importlib.resources.abc import Traversable

from quotekit.addin.function_settings import function_settings
from quotekit.addin.menu_settings import menu_settings, toolbar_place

IN_OFFICE = "pythonpath/quotekit_office"
"""Where the office looks for modules of an extension, and the package they are there."""

_STAMP = (2026, 1, 1, 0, 0, 0)


def extension_bytes(version: str, command: Sequence[str] = ()) -> bytes:
    """The extension of a version; `command` starts the engine, none means `quotekit` on the path."""
    return _zipped(extension_files(version, command))


def extension_files(version: str, command: Sequence[str] = ()) -> dict[str, bytes]:
    """Every file of the extension by its name in it."""
    here = files("quotekit.addin")
    found = {f"{IN_OFFICE}/{name}": data for name, data in _below(here / "office").items() if name.endswith(".py")}
    found |= {name: data for name, data in _below(here / "extension").items() if not name.endswith(".idl")}
    found["description.xml"] = found["description.xml"].replace(b"@VERSION@", version.encode())
    found["Addons.xcu"] = menu_settings().encode()
    found["CalcAddIns.xcu"] = function_settings().encode()
    found["CalcWindowState.xcu"] = toolbar_place().encode()
    said = {"version": version, "command": list(command)}
    found["engine.json"] = (json.dumps(said, indent=1) + "\n").encode()
    return dict(sorted(found.items()))


def _below(folder: Traversable, before: str = "") -> dict[str, bytes]:
    found: dict[str, bytes] = {}
    for one in folder.iterdir():
        if one.is_dir():
            found |= {} if one.name == "__pycache__" else _below(one, f"{before}{one.name}/")
        elif not one.name.endswith(".pyc"):
            found[before + one.name] = one.read_bytes()
    return found


def _zipped(members: Mapping[str, bytes]) -> bytes:
    """Stored, not deflated: zlib differs from machine to machine, and it is small."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_STORED) as package:
        for name, content in members.items():
            info = zipfile.ZipInfo(name, _STAMP)
            info.create_system, info.external_attr = 3, 0o644 << 16
            package.writestr(info, content)
    return data.getvalue()
