"""Inks of a request: by name, or as objects; on a side each with its own coverage."""

from __future__ import annotations

from typing import Any, NamedTuple, get_args

from marshmallow import post_load

from ...job import PROCESS_INKS, Ink, InkKind
from .fields import Among, Between, Figure, Long, NameOrObject, Strict, Switch, Text, told


class InkSchema(Strict):
    """An ink by name and kind."""

    name = Text(
        required=True,
        validate=Long(1, 60),
        metadata={"description": "name that the plant knows the ink by"},
    )
    kind = Text(required=True, validate=Among(get_args(InkKind)))
    may_simulate = Switch(
        load_default=False,
        metadata={"description": "whether a press without the ink may build it from process inks"},
    )

    @post_load
    def make(self, data: dict[str, Any], **_: Any) -> Any:
        """Return the ink."""
        return Ink(**data)


class InkField(NameOrObject):
    """A process ink by its name, or any ink as an object; loads as Ink."""

    name_schema = {"type": "string", "enum": list(PROCESS_INKS)}  # noqa: RUF012

    def named(self, name: str) -> Any:
        """Return a process ink. Raises ValidationError."""
        if name not in PROCESS_INKS:
            raise told(
                "unknown_ink",
                f"A name on its own is one of {', '.join(PROCESS_INKS)}; for another ink write "
                '{"name": "...", "kind": "spot"}.',
            )
        return Ink(name)


class PrintedInk(NamedTuple):
    """An ink of a side, and its own coverage where it is told."""

    ink: Ink
    coverage: float | None


class PrintedInkSchema(InkSchema):
    """An ink of a side by name and kind, with its own coverage where it differs."""

    coverage = Figure(
        validate=Between(0, 1),
        metadata={
            "description": "share of the area that this ink covers; if left out, the side's, and "
            "all of it for a varnish",
            "x-unit": "1",
        },
    )

    @post_load
    def make(self, data: dict[str, Any], **_: Any) -> Any:
        """Return the ink with its coverage."""
        coverage = data.pop("coverage", None)
        return PrintedInk(Ink(**data), coverage)


class PrintedInkField(InkField):
    """A process ink by its name, or any ink as an object; loads as PrintedInk."""

    def named(self, name: str) -> Any:
        """Return a process ink. Raises ValidationError."""
        return PrintedInk(super().named(name), None)
