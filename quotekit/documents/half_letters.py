"""Halves of letters, as a file name may hold them that is not UTF-8: no file can be written with one."""

from __future__ import annotations

import re

HALF = re.compile("[\ud800-\udfff]")
