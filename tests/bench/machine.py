"""The machine a benchmark ran on: what it is, never where or whose."""

from __future__ import annotations

import os
import platform
import re
import shutil
import subprocess
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

LIBRARIES = ("python-calamine", "XlsxWriter", "openpyxl", "highspy", "numpy", "polars", "distributed", "formulas")


def machine_described() -> dict[str, str]:
    """Processor, cores, memory, system, and the versions of what is measured."""
    return {
        "processor": f"{_processor()}, {os.cpu_count()} cores",
        "memory": f"{os.sysconf('SC_PAGE_SIZE') * os.sysconf('SC_PHYS_PAGES') / 2**30:.0f} GB",
        "system": f"{platform.freedesktop_os_release()['PRETTY_NAME']}, Linux {platform.release().split('-')[0]}",
        "Python": platform.python_version(),
        "LibreOffice": _office(),
        "libraries": ", ".join(f"{name} {found}" for name in LIBRARIES if (found := _version(name))),
    }


def _processor() -> str:
    lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    return next((line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")), platform.machine())


def _office() -> str:
    program = shutil.which("soffice")
    if program is None:
        return "not installed"
    said = subprocess.run([program, "--version"], capture_output=True, text=True, check=False).stdout
    found = re.search(r"\d+(?:\.\d+)+", said)
    return found[0] if found else "installed"


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return ""
