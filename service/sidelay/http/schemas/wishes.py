"""What a job wishes for: a stock, an operation, a binding."""

from __future__ import annotations

from typing import Any, get_args

from marshmallow import ValidationError, validates_schema

from ...job import BindingEdge, BindingMethod
from ...paper import BASIS_SIZES_IN
from .fields import Among, Between, Figure, Strict, Text, Told, Whole, identifier, told


class StockWishSchema(Strict):
    """The stock wanted: by id, or by grade with grammage, or by grade with basis weight."""

    id = identifier(metadata={"description": "a stock of the plant"})
    grade = identifier(metadata={"description": "what it is: coated, uncoated, board, ..."})
    finish = identifier(metadata={"description": "its surface: gloss, silk, ...; any if left out"})
    grammage_gsm = Figure(
        validate=Between(10, 2000), metadata={"description": "mass per area", "x-unit": "g/m2"}
    )
    basis_weight_lb = Figure(
        validate=Between(1, 2000),
        metadata={"description": "mass of 500 sheets of the basic size", "x-unit": "[lb_av]"},
    )
    basis = Text(
        validate=Among(list(BASIS_SIZES_IN)),
        metadata={"description": "grade that the basic size belongs to"},
    )

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def one_way(self, _: Any, original: Any, **__: Any) -> None:
        """Refuse members that exclude each other, and name the one that is missing."""
        if not isinstance(original, dict):
            return
        given = {name for name, value in original.items() if value is not None} & set(self.fields)
        if "id" in given:
            if given != {"id"}:
                others = ", ".join(sorted(given - {"id"}))
                raise told("conflicting_members", f"An id says it all: leave out {others}.")
            return
        missing = {
            name: [Told("required", "Expected an id, or a grade with its grammage or weight.")]
            for name in _missing(given)
        }
        if missing:
            raise ValidationError(missing)
        if {"grammage_gsm", "basis_weight_lb"} <= given or {"grammage_gsm", "basis"} <= given:
            raise told("conflicting_members", "Give grammage_gsm or the basis weight, not both.")


def _missing(given: set[str]) -> list[str]:
    weights = {"basis_weight_lb", "basis"}
    missing = [] if "grade" in given else ["grade"]
    if given & weights:
        missing += sorted(weights - given)
    elif "grammage_gsm" not in given:
        missing.append("grammage_gsm")
    return missing


class OperationSchema(Strict):
    """Something done beside printing, cutting, folding and binding."""

    operation = identifier(
        required=True,
        metadata={"description": "as the plant names it: laminate, drill, shrink_wrap, ..."},
    )
    machine = identifier(
        metadata={"description": "the machine that is to do it; the plant's first that can"}
    )
    sides = Whole(validate=Between(1, 2), load_default=1, metadata={"description": "1 or 2"})
    finish = identifier(metadata={"description": "what of: gloss, matt, ...; any if left out"})
    count = Whole(
        validate=Between(1, 1000),
        load_default=1,
        metadata={"description": "how many on each piece: lines, holes, numbers, corners, folds"},
    )
    per = Whole(
        validate=Between(1, 1_000_000),
        metadata={
            "description": "pieces in one pack; if left out, as many as are usual",
            "x-unit": "{piece}",
        },
    )
    area_share = Figure(
        validate=Between(0.0001, 1),
        load_default=1.0,
        metadata={"description": "share of the piece that it covers", "x-unit": "1"},
    )


class BindingSchema(Strict):
    """How the parts of a copy are held together."""

    method = Text(
        required=True,
        validate=Among(get_args(BindingMethod)),
        metadata={
            "description": "saddle_stitch: folded sheets, nested; side_stitch, wire, coil, pad: "
            "leaves; perfect_bind, thread_sewn, case: sections, case in hard boards"
        },
    )
    edge = Text(
        validate=Among(get_args(BindingEdge)),
        load_default="left",
        metadata={"description": "the edge of the page that is bound"},
    )
    machine = identifier(
        metadata={
            "description": "the binder that is to do it; if left out, the cheapest that can, at "
            "each quantity"
        }
    )
