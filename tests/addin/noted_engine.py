"""The engine, with a note of each start and of each request's kind: `python noted_engine.py FILE`.

`FILE pid` holds the number of the last process. With `starts` after the file it notes no requests, and costs nothing.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys

COMMAND = [sys.executable, "-m", "quotekit", "answer"]


def note(word: str) -> None:
    """A line at the end of the file."""
    with open(sys.argv[1], "a", encoding="utf-8") as file:
        file.write(word + "\n")


def main() -> None:
    """Pass on what is asked."""
    note("start")
    with open(f"{sys.argv[1]} pid", "w", encoding="utf-8") as file:
        file.write(str(os.getpid()))
    if "starts" in sys.argv[2:]:
        os.execv(COMMAND[0], COMMAND)
    engine = subprocess.Popen(COMMAND, stdin=subprocess.PIPE)
    assert engine.stdin is not None
    for line in sys.stdin.buffer:
        note(json.loads(line).get("do", ""))
        engine.stdin.write(line)
        engine.stdin.flush()
    engine.stdin.close()
    engine.wait()


if __name__ == "__main__":
    main()
