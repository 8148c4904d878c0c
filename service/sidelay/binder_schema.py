"""The [[binders]] table of a plant file: units, ranges, defaults, sources; loads into a Binder."""

from __future__ import annotations

from typing import Any, get_args

from marshmallow import ValidationError, fields, post_load, validates_schema

from .binders import Binder
from .describe import PRACTICE, check_windows, choice, figure, switch, whole
from .job import BindingMethod
from .schema_parts import Strict, identifier, shown_name, told_source

METHODS: tuple[str, ...] = get_args(BindingMethod)
_OWN_TIME = ("sections_per_hour", "leaves_per_hour")
_BOUGHT = ("price_set_up", "price_per_1000", "price_per_1000_sections", "least_price")


class BinderSchema(Strict):
    """[[binders]]: of those of a method that take a book the cheapest counts."""

    id = identifier()
    name = shown_name()
    method = choice("how it binds", METHODS)
    cost_centre = fields.String(
        load_default="",
        metadata={"description": "where its minutes are spent; bought out if left out"},
    )
    set_up_min = figure("min", 0, 600, "set-up of a job", default=0)
    set_up_min_per_section = figure("min", 0, 120, "further set-up for each section", default=0)
    stations = whole(
        "{section}", 1, 200, "sections that one pass gathers", default=1, source=PRACTICE
    )
    copies_per_hour = figure(
        "{copy}/h", 1, 50_000, "planning speed of a pass, trimming included", optional=True
    )
    sections_per_hour = figure(
        "{section}/h", 1, 50_000, "through the sewer, where it sews", optional=True
    )
    leaves_per_hour = figure(
        "{leaf}/h", 10, 500_000, "collating, where it collates loose leaves", optional=True
    )
    set_up_waste_copies = whole(
        "{copy}", 0, 2000, "copies spoiled at set-up", default=5, source=PRACTICE
    )
    running_waste = figure(
        "1",
        0,
        0.5,
        "share of copies spoiled",
        default=0.01,
        source="collator, stitcher and trimmer 1 %: American Printer, Jan 1996",
    )
    crew = figure("{person}", 0.25, 20, "people at it", default=1, source=PRACTICE)
    min_pages = whole("{page}", 1, 10_000, "fewest pages", default=2, source="one leaf")
    max_pages = whole("{page}", 2, 10_000, "most pages", default=10_000, source="no limit of pages")
    min_block_mm = figure("mm", 0, 500, "thinnest block", default=0)
    max_block_mm = figure("mm", 0.1, 1000, "thickest block")
    min_width_mm = figure(
        "mm",
        0,
        5000,
        "narrowest page, spine to face",
        default=76,
        source="3 in from spine to face, saddle stitch: Puget Bindery",
    )
    max_width_mm = figure("mm", 10, 5000, "widest page, spine to face")
    min_height_mm = figure("mm", 0, 5000, "shortest spine", default=70, source=PRACTICE)
    max_height_mm = figure("mm", 10, 5000, "longest spine")
    grind_off_mm = figure("mm", 0, 20, "milled off the spine", default=0)
    creep_factor = figure(
        "1",
        1.0,
        1.4,
        "what caliper x (sheets - 1) is multiplied by for the creep of nested sheets",
        default=1.0,
        source="1.0 to 1.4, from memory",
    )
    creep_caution_mm = figure(
        "mm", 0, 50, "creep above which the job is told of it", default=1.5, source=PRACTICE
    )
    score_cover_above_gsm = figure(
        "g/m2", 10, 2000, "a heavier cover must be scored first", optional=True
    )
    needs_cover = switch("whether it binds nothing without a cover", default=False)
    folds_sheets = switch("whether it folds collated flat sheets itself", default=False)
    material_per_copy = figure("{currency}", 0, 1000, "material for each copy", default=0)
    material_per_m = figure("{currency}/m", 0, 1000, "material by length of spine", default=0)
    board_price = figure("{currency}", 0, 1000, "backing or boards of a copy", default=0)
    price_set_up = figure("{currency}", 0, 100_000, "bought out: once", default=0)
    price_per_1000 = figure("{currency}", 0, 1e6, "bought out: for 1,000 copies", default=0)
    price_per_1000_sections = figure(
        "{currency}", 0, 1e6, "bought out: for 1,000 sections gathered or sewn", default=0
    )
    least_price = figure("{currency}", 0, 1e6, "bought out: least for a job with set-up", default=0)
    lead_days = figure("d", 0, 200, "working days until bought-out work is back", default=0)
    spine_allowance_mm = figure(
        "mm", 0, 10, "on the spine of a soft cover for score and glue", default=0
    )
    square_mm = figure(
        "mm", 0, 20, "boards of a case over the pages", default=3.0, source=PRACTICE
    )
    joint_mm = figure("mm", 0, 30, "spine edge to board of a case", default=7.0, source=PRACTICE)
    turn_in_mm = figure("mm", 0, 50, "turned in over boards", default=15.0, source=PRACTICE)
    board_mm = figure("mm", 0.5, 10, "thickness of boards", default=2.0, source=PRACTICE)
    source = told_source()

    @validates_schema(skip_on_field_errors=True)
    def _own_or_bought(self, data: dict[str, Any], **_: Any) -> None:
        check_windows(data)
        if data["cost_centre"]:
            if "copies_per_hour" not in data:
                raise ValidationError(
                    "expected the speed of a binder with a cost centre", "copies_per_hour"
                )
            for key in _BOUGHT:
                if data[key]:
                    raise ValidationError("expected only where no cost_centre is named", key)
            return
        for key in ("copies_per_hour", *_OWN_TIME):
            if key in data:
                raise ValidationError("expected only beside a cost_centre", key)
        for key in ("set_up_min", "set_up_min_per_section"):
            if data[key]:
                raise ValidationError("expected only beside a cost_centre", key)
        if not data["price_per_1000"]:
            raise ValidationError("expected what the bought-out work costs", "price_per_1000")

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Binder:
        return Binder(**data)
