"""Stands in for the engine: `python fake_engine.py HOW...` greets as version 1 and does as the words say.

A request is answered with `{"done": {"same": REQUEST}}`, unless its `do` says otherwise.
"""

from __future__ import annotations

import json
import os
import sys
import time

HOW = sys.argv[1:]


def say(line: object) -> None:
    os.write(1, json.dumps(line).encode() + b"\n")


def rubbish() -> None:
    for data in (
        b"\n",
        b"not json\n",
        b"[[[[\n",
        b"[" * 100_000 + b"\n",
        b"7\n",
        b'"id"\n',
        b'{"id": [1]}\n',
        b"\xff\xfe\n",
    ):
        os.write(1, data)


def flood() -> None:
    for _ in range(400):
        os.write(2, b"w" * 5000)
    os.write(2, b"\nthe last words\n")


def answer(request: dict) -> None:
    do, number = request["do"], request["id"]
    if do == "die":
        os.write(2, b"a belt broke\n")
        os._exit(9)
    elif do == "hang":
        time.sleep(600)
    elif do == "deaf":
        os.close(0)
        time.sleep(600)
    elif do == "mute":
        os.close(1)
        time.sleep(600)
    elif do == "once" and not os.path.exists(request["mark"]):
        open(request["mark"], "w").close()
        os._exit(9)
    else:
        if do == "rubbish":
            rubbish()
        if do == "flood":
            flood()
        for step in range(request.get("steps", 0)):
            say({"id": number, "step": f"step {step}"})
            time.sleep(request.get("pause", 0))
        if do == "large":
            say({"id": number, "done": {"text": "x" * request["bytes"]}})
        elif do == "endless":
            while True:
                os.write(1, b"x" * 65536)
        elif do == "environment":
            say({"id": number, "done": dict(os.environ)})
        elif do == "pid":
            say({"id": number, "done": {"pid": os.getpid()}})
        else:
            say({"id": number, "done": {"same": request}})


def main() -> None:
    if "ends" in HOW:
        sys.exit("no module named quotekit")
    if "hangs" in HOW:
        time.sleep(600)
    if "slow" in HOW:
        time.sleep(float(HOW[HOW.index("slow") + 1]))
    if "rubbish" in HOW:
        rubbish()
    if "other" in HOW:
        say({"hello": "somebody"})
    version = HOW[HOW.index("version") + 1] if "version" in HOW else "1"
    say({"hello": "quotekit", "version": version, "protocol": 1})
    always = HOW[HOW.index("always") + 1] if "always" in HOW else ""
    for text in sys.stdin.buffer:
        request = json.loads(text)
        if always == "slowly":
            time.sleep(4)
            say({"id": request["id"], "done": {"problems": []}})
        else:
            answer({**request, "do": always or request["do"]})


if __name__ == "__main__":
    main()
