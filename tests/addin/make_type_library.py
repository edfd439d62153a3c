"""Writes the interface of the cell functions and its type library anew, after a change of the table of functions.

    python -m tests.addin.make_type_library

needs `unoidl-write` of LibreOffice's development kit (Debian package libreoffice-dev).
"""

from __future__ import annotations

import subprocess

from quotekit.addin.function_settings import INTERFACE, function_interface
from tests.addin.test_function_settings import EXTENSION, SDK, TYPES


def main() -> None:
    """Both files."""
    source, library = EXTENSION / f"{INTERFACE}.idl", EXTENSION / f"{INTERFACE}.rdb"
    source.write_text(function_interface(), encoding="utf-8")
    subprocess.run([str(SDK), *TYPES, str(source), str(library)], check=True)


if __name__ == "__main__":
    main()
