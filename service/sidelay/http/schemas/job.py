"""The job of a request: its parts, and what holds for all of them."""

from __future__ import annotations

from typing import Any, get_args

from marshmallow import ValidationError, post_load

from ...job import (
    QUALITIES,
    GrainWish,
    Impression,
    Kind,
    Proof,
)
from ...paper_sizes import MM_PER_INCH, SIZES_MM, UnknownSize, named_size
from .fields import (
    Among,
    Between,
    Figure,
    ListOf,
    Long,
    Moment,
    NameOrObject,
    Object,
    Strict,
    Switch,
    Text,
    Told,
    Whole,
    identifier,
    told,
)
from .inks import InkField, InkSchema, PrintedInkField, PrintedInkSchema
from .wishes import BindingSchema, OperationSchema, StockWishSchema

MOST_QUANTITIES = 200
MOST_QUANTITY = 100_000_000
MOST_INKS = 16
MOST_PARTS = 20
MOST_OPERATIONS = 20
MOST_PAGES = 2000
MOST_FILTERS = 100
SIDE_MM = (5, 10_000)

USES = ("food_contact", "outdoor", "delicate")
UNITS = ("mm", "in")
DISPATCHES = ("collect", "deliver")


class SizeSchema(Strict):
    """A size by its sides: 5 to 10,000 mm each, whatever the unit."""

    width = Figure(required=True, validate=Between(0, 10_000), metadata={"description": "width"})
    height = Figure(required=True, validate=Between(0, 10_000), metadata={"description": "height"})
    unit = Text(
        validate=Among(UNITS), load_default="mm", metadata={"description": "unit of both sides"}
    )

    @post_load
    def in_mm(self, data: dict[str, Any], **_: Any) -> tuple[float, float]:
        """Return width and height in mm."""
        factor = MM_PER_INCH if data["unit"] == "in" else 1.0
        size = {side: round(data[side] * factor, 4) for side in ("width", "height")}
        least, most = SIDE_MM
        wrong = [Told("out_of_range", f"Expected {least} to {most:,} mm.")]
        faults = {side: wrong for side, length in size.items() if not least <= length <= most}
        if faults:
            raise ValidationError(faults)
        return size["width"], size["height"]


class SizeField(NameOrObject):
    """A named size (portrait), or one by its sides; loads as (width, height) [mm]."""

    name_schema = {"type": "string", "x-extensible-enum": list(SIZES_MM)}  # noqa: RUF012

    def named(self, name: str) -> tuple[float, float]:
        """Return a named size, portrait. Raises ValidationError."""
        try:
            return named_size(name)
        except UnknownSize:
            known = ", ".join(SIZES_MM)
            raise told("unknown_size", f"No size has this name; there is {known}.") from None


class SideSchema(Strict):
    """One side of a piece."""

    inks = ListOf(PrintedInkField(PrintedInkSchema), required=True, most=MOST_INKS)
    coverage = Figure(
        validate=Between(0, 1),
        load_default=0.2,
        metadata={
            "description": "share of the area that an ink covers, for each that tells none of its "
            "own",
            "x-unit": "1",
        },
    )
    heaviest_pct = Figure(
        validate=Between(0, 100 * MOST_INKS),
        metadata={
            "description": "total area coverage of the heaviest spot; if left out, the average",
            "x-unit": "%",
        },
    )


def _detail(about: str) -> Figure:
    metadata = {"description": f"{about} in it; not checked if left out", "x-unit": "[pt]"}
    return Figure(validate=Between(0.05, 100), metadata=metadata)


class OverprintSchema(Strict):
    """What differs from piece to piece: names, numbers, addresses."""

    front = Object(SideSchema, load_default=lambda: {"inks": [], "coverage": 0.0})
    back = Object(SideSchema, load_default=lambda: {"inks": [], "coverage": 0.0})
    quality = Text(
        validate=Among(QUALITIES),
        metadata={
            "description": "how good it has to be where it goes onto shells: an address is draft; "
            "if left out, as good as the job"
        },
    )


class PartSchema(Strict):
    """One component of the job, on its own stock."""

    name = Text(
        validate=Long(1, 80),
        metadata={"description": "tells it from other parts; if left out, part and its number"},
    )
    kind = Text(
        validate=Among(get_args(Kind)),
        load_default="leaf",
        metadata={
            "description": "leaf: a flat or folded sheet; section: pages, bound where the job "
            "has a binding, else folded together; cover: the sheet around what is bound; insert: "
            "a leaf laid loose into each copy; envelope: printed ready made; label: on reels; "
            "carton: a blank cut by a die; web: printed web on reels, one panel a piece; piece: "
            "one object printed whole"
        },
    )
    size = SizeField(
        SizeSchema,
        required=True,
        metadata={
            "description": "finished size, folded; of a section or a cover one page, of a carton "
            "the flat blank, of a piece the print. A name is portrait: for landscape tell the sides"
        },
    )
    flat_size = SizeField(
        SizeSchema,
        metadata={
            "description": "trimmed size before folding; if left out, as many finished pieces "
            "side by side as there are panels"
        },
    )
    pages = Whole(
        validate=Between(2, MOST_PAGES),
        metadata={
            "description": "two for each panel: an even number; of a section, a multiple of four "
            "unless it is bound as single leaves. If left out, 2, or what flat_size holds",
            "multipleOf": 2,
        },
    )
    folds = Whole(
        validate=Between(0, 10), load_default=0, metadata={"description": "number of folds"}
    )
    bleed_mm = Figure(
        validate=Between(0, 20),
        metadata={
            "description": "how far the image runs over trimmed edges; if left out, 1 on a label, "
            "0 on an envelope, web or piece, else 3",
            "x-unit": "mm",
            "x-source": "3 mm, labels 1 mm: common practice, no source",
        },
    )
    gutter_mm = Figure(
        validate=Between(0, 50),
        metadata={
            "description": "space between neighbours beyond their bleed; if left out, 1 between "
            "labels, else 0",
            "x-unit": "mm",
            "x-source": "3 mm from label to label, bleeds included: common practice, no source",
        },
    )
    stock = Object(StockWishSchema, required=True)
    grain = Text(
        validate=Among(get_args(GrainWish)),
        load_default="any",
        metadata={"description": "side of the flat piece that the grain follows"},
    )
    front = Object(
        SideSchema,
        required=True,
        metadata={"description": "of a section one side of every sheet; of a cover its outside"},
    )
    back = Object(
        SideSchema,
        load_default=lambda: {"inks": [], "coverage": 0.0},
        metadata={
            "description": "blank if left out; of a section the other side of every sheet, which "
            "a booklet printed throughout needs; of a cover its inside"
        },
    )
    ruling_lpi = Figure(
        validate=Between(0, 400),
        metadata={
            "description": "halftone lines an inch; 0 for type and line work without any halftone. "
            "If left out, 0 where no side has two process inks, else 150, on labels and webs 133, "
            "on pieces 55",
            "x-unit": "/[in_i]",
            "x-source": "common practice, no source",
        },
    )
    variable_share = Figure(
        validate=Between(0, 1),
        load_default=0.0,
        metadata={"description": "share of the area that differs from piece to piece"},
    )
    overprint = Object(
        OverprintSchema,
        load_default=None,
        metadata={
            "description": "what differs from piece to piece; front and back are then what is the "
            "same on all, which may be printed before, on another press"
        },
    )
    impression = Text(
        validate=Among(get_args(Impression)),
        load_default="flat",
        metadata={"description": "deep where the print is to be felt in the stock"},
    )
    min_type_pt = _detail("smallest type")
    min_reverse_type_pt = _detail("smallest type reversed out of a solid")
    min_line_pt = _detail("finest line")
    tone_steps = Whole(
        validate=Between(2, 1024), metadata={"description": "tone steps that it needs"}
    )
    register_mm = Figure(
        validate=Between(0.01, 20),
        metadata={"description": "tightest fit of colour to colour", "x-unit": "mm"},
    )
    pieces_per_reel = Whole(
        validate=Between(1, MOST_QUANTITY),
        metadata={"description": "labels or panels on one finished reel", "x-unit": "{piece}"},
    )
    kept_carriers = ListOf(
        Text(validate=Long(1, 200)),
        most=MOST_FILTERS,
        load_default=list,
        metadata={
            "description": "image carriers and dies kept from the last run, each by the "
            "carriers_id of its layout: they are mounted again, not made again"
        },
    )


    per_copy = Whole(
        validate=Between(1, 10_000),
        load_default=1,
        metadata={
            "description": "how many of it one copy of the job has: leaves of a pad",
            "x-unit": "{piece}",
        },
    )
    operations = ListOf(
        Object(OperationSchema),
        most=MOST_OPERATIONS,
        load_default=list,
        metadata={
            "description": "done to it beside cutting and folding, in this order; a carton is die "
            "cut, stripped and glued if left out or empty"
        },
    )


class PreviousSchema(Strict):
    """What a press printed last, and still holds."""

    press = identifier(required=True, metadata={"description": "id of the press"})
    inks = ListOf(InkField(InkSchema), required=True, most=MOST_INKS)
    stock = Text(validate=Long(0, 80), load_default="", metadata={"description": "id of the stock"})


class JobSchema(Strict):
    """What is wanted, how many, and how good."""

    title = Text(validate=Long(0, 200), load_default="")
    quantities = ListOf(
        Whole(validate=Between(1, MOST_QUANTITY), metadata={"x-unit": "{piece}"}),
        required=True,
        least=1,
        most=MOST_QUANTITIES,
        metadata={"description": "finished pieces; each is priced on its own"},
    )
    parts = ListOf(
        Object(PartSchema),
        required=True,
        least=1,
        most=MOST_PARTS,
    )
    binding = Object(
        BindingSchema,
        load_default=None,
        metadata={"description": "how sections, leaves and cover are held together"},
    )
    operations = ListOf(
        Object(OperationSchema),
        most=MOST_OPERATIONS,
        load_default=list,
        metadata={"description": "done to the finished copies, in this order: packing too"},
    )
    overs_share = Figure(
        validate=Between(0, 0.5),
        load_default=0.0,
        metadata={
            "description": "copies to make and deliver beyond each quantity, as a share of it",
            "x-unit": "1",
        },
    )
    rush = Switch(
        load_default=False, metadata={"description": "whether the premium for rush work is asked"}
    )
    due_at = Moment(
        metadata={
            "description": "when the customer wants it, with its offset: collected or delivered, "
            "as dispatch tells. Fractions of a second are dropped"
        }
    )
    dispatch = Text(
        validate=Among(DISPATCHES),
        load_default="collect",
        metadata={"description": "whether the customer collects it or has it delivered"},
    )
    approval_days = Figure(
        validate=Between(0, 60),
        metadata={
            "description": "working days that the customer takes to approve the proof; as usual "
            "at the plant if left out",
            "x-unit": "d",
        },
    )
    drying_aid = Switch(
        load_default=False,
        metadata={"description": "whether drying is sped up as the plant can, for money"},
    )
    quality = Text(
        validate=Among(QUALITIES),
        load_default="commercial",
        metadata={
            "description": "how good the print has to be; presses that are for lesser work are "
            "left out. Plain text for use in house is office"
        },
    )
    proof = Text(
        validate=Among(get_args(Proof)),
        load_default="none",
        metadata={"description": "what is shown for approval, of each printed side or page"},
    )
    uses = ListOf(
        Text(validate=Among(USES)),
        most=10,
        load_default=list,
        metadata={"description": "what the piece is for where that limits how it is made"},
    )
    previous = ListOf(
        Object(PreviousSchema),
        most=MOST_FILTERS,
        load_default=list,
        metadata={"description": "what presses printed last: what need not be washed or changed"},
    )
