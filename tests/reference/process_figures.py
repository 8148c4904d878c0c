"""Figures about a process, one at a time: what the model of that process says to each of them.

A case about a process names no topic: it expects figures by name. Each `of_process_<process>.py`
answers the names it knows (FIGURES, functions of the case's inputs) and says of the others why
sidelay has no such figure (NOT_MODELLED). A name in neither fails its case.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

Figure = Callable[[Mapping[str, Any]], Any]
PREFIX = "of_process_"

MODULES = {
    found.name.removeprefix(PREFIX): importlib.import_module(f"reference.{found.name}")
    for found in pkgutil.iter_modules([str(Path(__file__).parent)])
    if found.name.startswith(PREFIX)
}


def computed(case: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, str]]:
    """Return the figures that sidelay computes of a case, and why it computes no others.

    Raises LookupError for a process, or a figure of it, that nothing answers.
    """
    process = case["process"]
    if process not in MODULES:
        raise LookupError(f"no {PREFIX}{process}.py answers for the process {process!r}")
    figures: Mapping[str, Figure] = MODULES[process].FIGURES
    not_modelled: Mapping[str, str] = MODULES[process].NOT_MODELLED
    unknown = set(case["expected"]) - set(figures) - set(not_modelled)
    if unknown:
        raise LookupError(f"{process}: nothing answers {', '.join(sorted(unknown))}")
    inputs = case["inputs"]
    got = {name: figures[name](inputs) for name in case["expected"] if name in figures}
    return got, {name: not_modelled[name] for name in case["expected"] if name not in got}
