"""Which template a document is filled into: the owner's where there is one, else the package's own.

Looked for by name in the folders that are given, the first first; a folder given by the owner must hold it.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from quotekit.documents.sheet import Paper
from quotekit.problems import Problem
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

    for folder in folders:
        path = folder / f"{name}.xlsx"
        if path.exists():
            package, problems = open_package(path)
            return (Template(package=package) if package else None), problems
    return template_of(f"{name}.xlsx", default_template(name, paper)), []
