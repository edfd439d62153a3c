"""Whether an office program has a workbook open, as far as the file it leaves beside tells."""

from __future__ import annotations

from pathlib import Path


def owner_file(path: Path) -> Path | None:
    """The file an office program leaves beside a workbook that is open in it."""
    names = (f".~lock.{path.name}#", f"~${path.name}")
    return next((path.with_name(name) for name in names if path.with_name(name).exists()), None)
