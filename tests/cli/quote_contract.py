"""The contract of `quote --json` as a JSON schema: every field required, none besides."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema

SCHEMA = json.loads(Path(__file__).with_name("quote_schema.json").read_text(encoding="utf-8"))


def check_contract(value: Any) -> None:
    """Raises where the object is not what DESIGN.md 7 promises."""
    jsonschema.Draft202012Validator(SCHEMA).validate(value)
