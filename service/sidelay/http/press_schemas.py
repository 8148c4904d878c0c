"""The parameters of presses as JSON Schema, from the schemas that the plug-ins bring."""

from __future__ import annotations

import inspect
from typing import Any

from apispec import APISpec

from ..processes import Processes
from .schemas.published import FieldsPlugin

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def press_schemas(processes: Processes) -> dict[str, dict[str, Any]]:
    """Return for each process id the JSON Schema of its presses, complete in itself.

    Units stand in x-unit (UCUM style), sources of defaults in x-source, where figures
    usually lie in x-usual.
    """
    plugin = FieldsPlugin(schema_name_resolver=lambda _: "")
    APISpec("presses", "1", "3.1.0", plugins=[plugin])
    found = {}
    for process_id, about in processes.about.items():
        schema = processes.press_schema(process_id)
        found[process_id] = {
            "$schema": DIALECT,
            "title": f"A press of the process {about.name}",
            "description": inspect.getdoc(type(schema)) or "",
            **plugin.json_schema(schema),
        }
    return found
