"""A process of another's for tests: a plug-in that gives its presses the parameters named."""

from __future__ import annotations

from types import ModuleType
from typing import Any

from sidelay.plugin import Charge, Finding, PressBase, PressSchema, Process, Run, hookimpl
from sidelay.processes import Processes


def stencil(schema: type[PressSchema] = PressSchema) -> Processes:
    """Return processes of which there is one, `stencil`, whose presses have this schema."""
    facts: dict[str, Any] = {name: "-" for name in Process.__dataclass_fields__ if name != "id"}
    facts |= {"variable_data": False, "usual_run_length": (1, 100), "cautions": ()}
    facts |= {"quality": (0.5, 0.7), "crew": (1, 1), "impresses": False, "sources": {}}

    def process() -> Process:
        return Process(id="stencil", **facts)

    def press_schema() -> type[PressSchema]:
        return schema

    def constraints(press: PressBase, part: Any, job: Any) -> list[Finding]:
        return []

    def speed(press: PressBase, work: Any) -> Run:
        return Run(1, 2.0, 3, 6000.0, 0.01)

    def cost(press: PressBase, work: Any, run: Run) -> list[Charge]:
        return [Charge("carrier", "master", 0.5, "carrier", amount=work.carriers)]

    module = ModuleType("sidelay_stencil")
    for hook in (process, press_schema, constraints, speed, cost):
        setattr(module, hook.__name__, hookimpl(hook))
    registry = Processes()
    registry.add("stencil", module)
    return registry
