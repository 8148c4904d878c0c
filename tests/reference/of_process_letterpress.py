"""What the letterpress model says to the cases of letterpress, and presses to ask it with.

A press here is loaded through the plug-in's schema, as from a plant file; what the schema leaves to
its defaults is the default's.
"""

from collections.abc import Callable, Mapping
from typing import Any

from sidelay.job import Ink, Part, Previous, Side
from sidelay.stock import ParentSheet, Stock
from sidelay.work import Form, Layout, Run, Work
from sidelay_letterpress import cost, press_schema, speed
from sidelay_letterpress.press import (
    LARGEST_CYLINDER_IN,
    LARGEST_PLATEN_IN,
    LetterpressPress,
)
from sidelay_letterpress.relief import type_height_mm

Inputs = Mapping[str, Any]
PLATEN: dict[str, Any] = {
    "id": "platen",
    "name": "Platen",
    "cost_centre": "letterpress",
    "motion": "platen",
    "rated_impressions_per_hour": 4000,
    "feed": {
        "kind": "sheet",
        "min_width_mm": 90,
        "max_width_mm": 340,
        "min_length_mm": 130,
        "max_length_mm": 460,
        "colour_bar_mm": 0,
        "work_styles": ["one_side", "sheetwise", "work_and_turn"],
    },
}
SHEET = ParentSheet(320, 450, "long", 0.1, "test")
BLACK, RED = Ink("black"), Ink("red", "spot")


def platen(**figures: Any) -> LetterpressPress:
    """A press of the schema, an automatic platen unless told otherwise."""
    feed = PLATEN["feed"] | figures.pop("feed", {})
    loaded = press_schema()().load(PLATEN | figures | {"feed": feed})
    assert isinstance(loaded, LetterpressPress)
    return loaded


def cotton(**figures: Any) -> Stock:
    """Soft cotton of 600 g/m2."""
    given: dict[str, Any] = {
        "id": "cotton",
        "name": "Cotton",
        "grade": "cotton",
        "finish": "soft",
        "grammage_gsm": 600.0,
        "caliper_um": 950.0,
        "sheets": (SHEET,),
    }
    return Stock(**given | figures)


def card(
    front: tuple[Ink, ...] = (BLACK,), back: tuple[Ink, ...] = (), coverage: float = 0.1,
    **figures: Any,
) -> Part:  # fmt: skip
    """A card of 100 x 150 mm with these inks, line work on thin uncoated stock."""
    given: dict[str, Any] = {
        "name": "card",
        "kind": "leaf",
        "width_mm": 100,
        "height_mm": 150,
        "flat_width_mm": 100,
        "flat_height_mm": 150,
        "pages": 2,
        "folds": 0,
        "bleed_mm": 0.0,
        "stock": cotton(id="laid", grade="uncoated", grammage_gsm=250.0, caliper_um=320.0),
        "grain": "any",
        "front": Side(front, coverage if front else 0.0),
        "back": Side(back, coverage if back else 0.0),
        "ruling_lpi": 0.0,
        "variable_share": 0.0,
    }
    return Part(**given | figures)


def on_sheets(
    part: Part | None = None, *, up: int = 2, turned: bool = False, previous: Previous | None = None
) -> Work:
    """The part on press sheets: a form a side, or one form for both where it is turned."""
    wanted = part or card()
    if turned:
        style, forms = "work_and_turn", (Form("both", wanted.inks),)
    else:
        style = "sheetwise" if len(wanted.sides) == 2 else "one_side"
        both = (Form("front", wanted.front.inks), Form("back", wanted.back.inks))
        forms = tuple(form for form in both if form.inks)
    layout = Layout(320, 225, SHEET, style, up, parts_along=2)  # type: ignore[arg-type]
    return Work(wanted, layout, forms, previous)


def run_of(press: LetterpressPress, work: Work) -> Run:
    """How the press runs a work that it can run."""
    run = speed(press, work)
    assert run is not None
    return run


def life(carrier: str) -> Callable[[Inputs], float | None]:
    """Impressions until what the press prints from must be made again."""
    return lambda _: cost(platen(carrier=carrier), on_sheets())[0].life


def default(name: str) -> Callable[[Inputs], float]:
    """A figure of a press that its plant file leaves to the default."""
    return lambda _: getattr(platen(), name)


def fastest(_: Inputs) -> float:
    """The fastest press that a plant file may hold."""
    rated: Any = press_schema()().fields["rated_impressions_per_hour"]
    return float(rated.validate.max)


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "lead_type_impressions": life("type"),
    "electrotype_halftone_impressions": life("electro"),
    "min_line_pt": default("min_line_pt"),
    "min_type_pt": default("min_type_pt"),
    "min_reverse_type_pt": default("min_reverse_type_pt"),
    "min_dot_pt": default("min_dot_pt"),
    "halftone_lpi_max": default("max_ruling_lpi"),
    "vertical_cylinder_iph_max": fastest,
    "platen_max_in": lambda _: list(LARGEST_PLATEN_IN),
    "cylinder_max_in": lambda _: list(LARGEST_CYLINDER_IN),
    "mm": lambda inputs: type_height_mm(inputs["inch"]),
}
NOT_MODELLED: dict[str, str] = {}
