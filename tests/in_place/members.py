"""Changes a part of a workbook with the standard library alone: how tests make what no library writes."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping


def with_member(data: bytes, name: str, change: Callable[[bytes], bytes]) -> bytes:
    """The workbook with one part changed."""
    parts = parts_of(data)
    return packed({**parts, name: change(parts[name])})


def parts_of(data: bytes) -> dict[str, bytes]:
    """Every part by its name."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return {name: package.read(name) for name in package.namelist()}


def packed(parts: Mapping[str, bytes]) -> bytes:
    """A workbook of these parts."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in parts.items():
            package.writestr(name, data)
    return held.getvalue()
