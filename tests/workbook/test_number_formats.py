"""Number formats: what shows a percentage and what a date, with the reading library as the second opinion."""

from __future__ import annotations

import random
from decimal import Decimal
from pathlib import Path
from xml.sax.saxutils import quoteattr

import pytest

from quotekit.workbook.number_formats import is_date, is_percent, read_styles
from quotekit.workbook.package import BadPackage, open_package
from tests.workbook.raw_workbooks import MAIN, STYLES, Part, codes, parts, read, values, write

PERCENT: list[tuple[str, bool]] = [
    ("0%", True),
    ("0.0%;[Red]-0.0%", True),
    ("# ##0.00 %", True),
    ("[<1]0%;0", True),
    ('0" %"', False),
    ("0\\%", False),
    ("0_%", False),
    ("0*%", False),
    ("[$%]0", False),
    ("General", False),
]
DATES: list[tuple[str, bool]] = [
    ("yyyy-mm-dd", True),
    ("[$-409]d-mmm-yy;@", True),
    ("h:mm AM/PM", True),
    ("[h]:mm:ss", True),
    ("[ss].00", True),
    ('yyyy"年"m"月"', True),
    ("\\dd", True),
    ("\\;d", True),
    ("General", False),
    ("0.00", False),
    ("#,##0.00 [$USD]", False),
    ("[$€-407] #,##0.00", False),
    ("0.00E+00", False),
    ("[Red]0", False),
    ('0 "days"', False),
    ("0\\h", False),
    ("0;[Red]yyyy", False),
    ("@", False),
]


@pytest.mark.parametrize(("code", "expected"), PERCENT)
def test_percentages(code: str, expected: bool) -> None:
    """A percent sign that multiplies by a hundred is one thing, one that is only shown another."""
    assert is_percent(code) is expected


@pytest.mark.parametrize(("code", "expected"), DATES)
def test_dates(code: str, expected: bool) -> None:
    """Letters in quotes, after a backslash, or in brackets are no day, month or hour."""
    assert is_date(code) is expected


def styled(formats: list[str], value: str, declared: bool = True) -> dict[str, Part]:
    """A workbook whose rows show one value in one number format each."""
    numbers = [200 + i if declared else int(form) for i, form in enumerate(formats)]
    listed = [f'<numFmt numFmtId="{n}" formatCode={quoteattr(f)}/>' for n, f in zip(numbers, formats, strict=True)]
    used = "".join(f'<xf numFmtId="{number}"/>' for number in numbers)
    above = f"<numFmts>{''.join(listed)}</numFmts>" if declared else ""
    rows = (f'<row r="{i}"><c r="A{i}" s="{i - 1}"><v>{value}</v></c></row>' for i in range(1, len(formats) + 1))
    styles = f'<styleSheet xmlns="{MAIN}">{above}<cellXfs>{used}</cellXfs></styleSheet>'
    return parts("".join(rows)) | {STYLES: styles}


_TOKENS = """0 # ? . , % d m y h s D Y AM/PM A/P [h] [mm] [ss] [Red] [$-409] [$€-407] [<1] "d" "%" \\d \\% _d _% *d *% ;
    @ E+ / - : [DBNum1] \\;""".split()


def test_the_library_makes_dates_of_the_same_formats(tmp_path: Path) -> None:
    """Were a format a date to the library alone, a negative number in it would be read as midnight."""
    draw = random.Random(53)
    formats = ["".join(draw.choice(_TOKENS) for _ in range(draw.randrange(1, 7))) for _ in range(600)]
    grid, problems = read(tmp_path, styled(formats, "45000.25"))
    assert problems == []
    found = values(grid)
    assert [isinstance(found[f"A{i}"], Decimal) for i in range(1, 601)] == [not is_date(form) for form in formats]


def test_built_in_formats_are_dates_to_both_or_refused(tmp_path: Path) -> None:
    """Numbers under 164 need no declaration; the library knows some of them."""
    grid, problems = read(tmp_path, styled([str(i) for i in range(60)], "-7.5", declared=False))
    at_fault = {cell for code, cell in codes(problems) if code == "not-a-date"}
    assert {f"A{i + 1}" for i in (14, 15, 16, 17, 18, 19, 20, 21, 22, 45, 46, 47)} <= at_fault
    assert set(values(grid).values()) == {Decimal("-7.5")} and len(values(grid)) + len(at_fault) == 60


def test_a_declared_format_takes_the_place_of_a_built_in_one(tmp_path: Path) -> None:
    """Some programs number their own formats from 1 and mean them."""
    declared = f'<styleSheet xmlns="{MAIN}"><numFmts><numFmt numFmtId="9" formatCode="0.00"/></numFmts>'
    text = f'{declared}<cellXfs><xf numFmtId="9"/><xf numFmtId="10"/></cellXfs></styleSheet>'
    package, _problems = open_package(write(tmp_path, parts() | {STYLES: text}))
    assert package is not None and read_styles(package, STYLES).percent == {1}


def test_only_the_styles_of_cells_are_counted(tmp_path: Path) -> None:
    """Named styles and conditional ones stand in the same part; counting them would shift every percentage."""
    text = (
        f'<styleSheet xmlns="{MAIN}"><cellStyleXfs><xf numFmtId="9"/><xf numFmtId="9"/></cellStyleXfs>'
        '<cellXfs><xf numFmtId="0"/><xf numFmtId="10"/></cellXfs>'
        '<dxfs><dxf><numFmt numFmtId="10" formatCode="0.00"/></dxf></dxfs></styleSheet>'
    )
    package, _problems = open_package(write(tmp_path, parts() | {STYLES: text}))
    assert package is not None and read_styles(package, STYLES).percent == {1}
    assert read_styles(package, "") == (frozenset(), frozenset())


def test_more_styles_than_any_workbook_has(tmp_path: Path) -> None:
    text = f'<styleSheet xmlns="{MAIN}"><cellXfs>{"<xf/>" * 100_001}</cellXfs></styleSheet>'
    package, _problems = open_package(write(tmp_path, parts() | {STYLES: text}))
    assert package is not None
    with pytest.raises(BadPackage) as caught:
        read_styles(package, STYLES)
    assert caught.value.code == "too-large"
