"""The test's side of LibreOffice: workbooks opened, filled and read through `office_driver`."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

DRIVER = Path(__file__).with_name("office_driver.py")
SYSTEM_PYTHON = "/usr/bin/python3"

Value = str | float | bool | None | dict[str, Any]
"""What a cell holds; an error is `{"error": number}`, a formula to type is `{"formula": text}`."""


class OfficeFault(RuntimeError):
    """LibreOffice did not do what was asked."""


class Office:
    """One running LibreOffice for any number of workbooks."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self._process = process

    @contextmanager
    def opened(self, path: Path) -> Iterator[OpenWorkbook]:
        """A workbook, as a person would open it; nothing is saved."""
        names = self.ask({"open": str(path)})["names"]
        try:
            yield OpenWorkbook(self, frozenset(names))
        finally:
            self.ask({"close": True})

    def ask(self, request: Mapping[str, Any]) -> dict[str, Any]:
        """One request and its answer."""
        stdin, stdout = self._process.stdin, self._process.stdout
        assert stdin is not None and stdout is not None
        stdin.write(json.dumps(request) + "\n")
        stdin.flush()
        line = stdout.readline()
        if not line:
            raise OfficeFault("LibreOffice ended before it answered")
        answer: dict[str, Any] = json.loads(line)
        if "fault" in answer:
            raise OfficeFault(answer["fault"])
        return answer


class OpenWorkbook:
    """A workbook open in LibreOffice."""

    def __init__(self, office: Office, names: frozenset[str]) -> None:
        self._office = office
        self.names = names

    def tried(
        self, fillings: Sequence[Mapping[str, Value]], wanted: Sequence[str], *, again: bool = False
    ) -> list[list[Value]]:
        """What the wanted cells show after each filling, one after the other.

        With `again`, everything is worked out anew after each as well, which must show the same.
        """
        said = self._office.ask({"try": list(fillings), "read": list(wanted), "again": again})
        values: list[list[Value]] = said["values"]
        if again and said["again"] != values:
            raise OfficeFault(f"worked out anew it differs: {values} became {said['again']}")
        return values

    def shown(self, filling: Mapping[str, Value], wanted: Sequence[str]) -> dict[str, Value]:
        """What the wanted cells show after one filling."""
        (values,) = self.tried([filling], wanted, again=True)
        return dict(zip(wanted, values, strict=True))

    def formulas(self) -> dict[str, Value]:
        """Every formula cell as `Sheet!A1`, worked out anew."""
        found: dict[str, Value] = self._office.ask({"formulas": True})["formulas"]
        return found


@contextmanager
def running_office(program: str, profile: Path) -> Iterator[Office]:
    """LibreOffice from start to end, with a profile of its own."""
    process = subprocess.Popen(
        [SYSTEM_PYTHON, str(DRIVER), program, str(profile)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    try:
        yield Office(process)
    finally:
        assert process.stdin is not None
        process.stdin.close()
        try:
            process.wait(30)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
