"""Which template a document is filled into: the owner's where there is one, else the package's own.

Looked for by name in the folders that are given, the first first, as a workbook or as what the spreadsheet calls a
template (.xltx); capitals do not matter. One of another kind of file is not used, and that is said.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from quotekit.documents.sheet import Paper
from quotekit.problems import Place, Problem, warning
from quotekit.workbook.package import open_package
from quotekit.workbook.template_bill import BILL
from quotekit.workbook.template_builder import draw_template
from quotekit.workbook.template_parts_order import PARTS_ORDER
from quotekit.workbook.template_work_order import WORK_ORDER

if TYPE_CHECKING:
    from quotekit.workbook.fill_template import Template

TemplateName = Literal["work order", "parts order", "bill"]
TEMPLATES = {"work order": WORK_ORDER, "parts order": PARTS_ORDER, "bill": BILL}
TEMPLATES_FOLDER = "workbook_templates"
_KINDS = (".xlsx", ".xltx")
_OTHERS = (".xlsm", ".xltm", ".xlsb", ".xls", ".xlt", ".ods", ".ots", ".fods", ".numbers")


def default_template(name: TemplateName, paper: Paper = "Letter") -> bytes:
    """The package's own template."""
    return draw_template(name.capitalize(), TEMPLATES[name], paper)


def default_templates(paper: Paper = "Letter") -> dict[str, bytes]:
    """All of the package's templates by file name."""
    return {f"{name}.xlsx": draw_template(name.capitalize(), plan, paper) for name, plan in TEMPLATES.items()}


def find_template(
    name: TemplateName, folders: Iterable[Path], paper: Paper = "Letter"
) -> tuple[Template | None, list[Problem]]:
    """The first template of this name in the folders, or the package's own; the problems of a file that is none."""
    from quotekit.workbook.fill_template import Template, template_of

    passed_over: list[Problem] = []
    for folder in folders:
        files = _of_name(folder, name)
        path = next((one for kind in _KINDS for one in files if one.suffix.casefold() == kind), None)
        if path is not None:
            package, problems = open_package(path)
            return (Template(package=package) if package else None), problems
        passed_over += [_not_used(one) for one in files if one.suffix.casefold() in _OTHERS]
    return template_of(f"{name}.xlsx", default_template(name, paper)), passed_over


def _of_name(folder: Path, name: str) -> list[Path]:
    """Files of a folder that bear a template's name, whatever their kind, in order."""
    if not folder.is_dir():
        return []
    return sorted(one for one in folder.iterdir() if one.stem.casefold() == name and one.is_file())


def _not_used(path: Path) -> Problem:
    message = f"a template is a workbook of the kind .xlsx or .xltx; this {path.suffix} is not used"
    remedy = "Save it as .xlsx in the spreadsheet; until then the program's own template is taken."
    return warning(Place(path.name), "template-not-used", message, remedy)
