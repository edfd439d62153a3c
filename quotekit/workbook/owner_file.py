"""Whether an office program has a workbook open, as far as the file it leaves beside tells."""

from __future__ import annotations

from pathlib import Path

from quotekit.problems import Place, Problem, error


def owner_file(path: Path) -> Path | None:
    """The file an office program leaves beside a workbook that is open in it."""
    names = (f".~lock.{path.name}#", f"~${path.name}")
    return next((path.with_name(name) for name in names if path.with_name(name).exists()), None)


def open_elsewhere(place: Place, owner: Path) -> Problem:
    """The refusal where such a file is there; a program that was killed leaves it too.

    >>> open_elsewhere(Place("a.xlsx"), Path("~$a.xlsx")).message
    'The file is open in another program (~$a.xlsx is beside it).'
    """
    message = f"The file is open in another program ({owner.name} is beside it)."
    left = f"Where no program has it open, delete {owner.name}: one was killed."
    return error(place, "output-open", message, f"Close it there and run this again. {left}")
