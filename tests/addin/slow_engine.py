"""The engine of tests that stop it in the middle: where a flag file says so it waits before files take their place."""

from __future__ import annotations

import sys
import time
from collections.abc import Mapping
from pathlib import Path

from quotekit.cli import output_files
from quotekit.cli.main import main

FLAG = Path(sys.argv[1])
_put_in_place = output_files.put_in_place


def _slowly(staged: Mapping[Path, Path]) -> None:
    if FLAG.exists():
        FLAG.with_suffix(".staged").write_text("\n".join(path.name for path in staged.values()), encoding="utf-8")
        time.sleep(30)
    _put_in_place(staged)


output_files.put_in_place = _slowly
sys.exit(main(["answer"]))
