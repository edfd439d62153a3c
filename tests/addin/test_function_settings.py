"""What the office is told of the functions is what the table says: help, types, and the component's methods."""

from __future__ import annotations

import ast
import shutil
import subprocess
from pathlib import Path
from xml.etree import ElementTree

import pytest

from quotekit.addin.build import extension_files
from quotekit.addin.function_settings import (
    BOOK,
    INTERFACE,
    SERVICE,
    function_interface,
    function_settings,
    method_of,
    programmatic,
)
from quotekit.addin.office.cell_reasons import ARGUMENTS, DATED, METHODS
from quotekit.pricing.functions.known import FUNCTIONS
from quotekit.workbook.columns import SHOP_BOOK
from tests.conftest import in_ci

EXTENSION = Path(__file__).parents[2] / "quotekit" / "addin" / "extension"
NAME = "{http://openoffice.org/2001/registry}name"
SDK = Path("/usr/lib/libreoffice/sdk/bin/unoidl-write")
TYPES = ["/usr/lib/libreoffice/program/types.rdb", "/usr/lib/libreoffice/program/types/offapi.rdb"]


def texts(node: ElementTree.Element) -> dict[str, str]:
    """The properties of a node."""
    return {prop.attrib[NAME]: prop.findtext("value") or "" for prop in node.findall("prop")}


def test_every_function_and_argument_has_help() -> None:
    """Each is a sentence that a person without the manual understands; none is another's."""
    top = ElementTree.fromstring(function_settings())
    functions = top.findall(".//node[@{http://openoffice.org/2001/registry}name='AddInFunctions']/node")
    assert [texts(node)["DisplayName"] for node in functions] == [function.name for function in FUNCTIONS]
    for node, function in zip(functions, FUNCTIONS, strict=True):
        arguments = node.findall("node/node")
        assert [one.attrib[NAME] for one in arguments] == [
            programmatic(one.name) for one in (*function.arguments, BOOK)
        ]
        said = [texts(node)["Description"], *(texts(one)["Description"] for one in arguments)]
        assert all(text.endswith(".") and 15 < len(text) < 260 for text in said), said
        assert len(set(said)) == len(said)


def test_names_are_plain_words() -> None:
    """Words with an underscore between them can't be taken for a cell or for a function of the office."""
    for function in FUNCTIONS:
        assert function.name.isupper() and "_" in function.name
        assert METHODS[method_of(function).upper()] == function.name
        assert ARGUMENTS[function.name] == len(function.arguments)
        dated = [at for at, one in enumerate(function.arguments) if one.kind == "date"]
        assert dated == [DATED[function.name]] if function.name in DATED else not dated


def test_functions_read_sheets_that_there_are() -> None:
    names = {sheet.name for sheet in SHOP_BOOK}
    assert all(function.reads <= names and "Shop" in function.reads for function in FUNCTIONS)


def test_the_interface_is_that_of_the_table() -> None:
    """`python -m tests.addin.make_type_library` writes both files anew."""
    assert (EXTENSION / f"{INTERFACE}.idl").read_text(encoding="utf-8") == function_interface()


def test_the_type_library_is_made_from_the_interface(tmp_path: Path) -> None:
    """The office reads the library; a change of the interface without it would be lost."""
    if not SDK.exists():
        if in_ci():
            pytest.fail("unoidl-write is not installed (Debian package libreoffice-dev); with CI set this must run")
        pytest.skip("unoidl-write is not installed (Debian package libreoffice-dev)")
    source = shutil.copy(EXTENSION / f"{INTERFACE}.idl", tmp_path)
    made = tmp_path / "made.rdb"
    subprocess.run([str(SDK), *TYPES, source, str(made)], check=True, capture_output=True)
    assert made.read_bytes() == (EXTENSION / f"{INTERFACE}.rdb").read_bytes()


def test_the_component_has_every_method_with_its_arguments() -> None:
    """In the order of the interface, and handed on in the order of the table."""
    tree = ast.parse((EXTENSION / "quotekit_functions.py").read_text(encoding="utf-8"))
    methods = {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
    for function in FUNCTIONS:
        method = methods[method_of(function)]
        names = [programmatic(one.name) for one in (*function.arguments, BOOK)]
        assert [one.arg for one in method.args.args] == ["self", "caller", *names]
        call = next(node for node in ast.walk(method) if isinstance(node, ast.Call))
        assert [ast.unparse(one) for one in call.args] == [repr(function.name), "caller", "book", *names[:-1]]


def test_the_extension_holds_them() -> None:
    """Declared in its list of contents, and the source of the type library left out."""
    files = extension_files("1")
    listed = files["META-INF/manifest.xml"].decode()
    for name in (f"{INTERFACE}.rdb", "quotekit_functions.py", "CalcAddIns.xcu"):
        assert name in files and f'full-path="{name}"' in listed
    assert not [name for name in files if name.endswith(".idl")]
    assert SERVICE in files["CalcAddIns.xcu"].decode() and SERVICE in files["quotekit_functions.py"].decode()
