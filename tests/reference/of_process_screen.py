"""What the screen model says to the cases of screen printing, and presses to ask it with.

A press here is loaded through the plug-in's schema, as from a plant file; what the schema leaves to
its defaults is the default's.
"""

from collections.abc import Callable, Mapping
from typing import Any

from sidelay.ink import flexo_film_cm3_per_m2
from sidelay.job import Ink, Part, Previous, Side
from sidelay.stock import Blank, ParentSheet, Stock
from sidelay.work import Form, Layout, Run, Work
from sidelay_flexo import press_schema as flexo_schema
from sidelay_screen import press_schema, speed
from sidelay_screen.mesh import deposit_um, stations_needed
from sidelay_screen.press import ScreenPress

Inputs = Mapping[str, Any]
MANUAL: dict[str, Any] = {
    "id": "manual",
    "name": "Manual carousel",
    "cost_centre": "screen",
    "machine": "manual_carousel",
    "stations": 6,
    "ink": "plastisol",
    "grades": ["garment"],
    "max_ruling_lpi": 55,
    "frame_width_mm": 530,
    "frame_length_mm": 640,
    "rated_per_hour": 150,
    "running_share": 1.0,
    "feed": {"kind": "piece", "max_width_mm": 380, "max_length_mm": 440},
}
AUTOMATIC: dict[str, Any] = MANUAL | {
    "id": "automatic",
    "machine": "automatic_carousel",
    "stations": 8,
    "rated_per_hour": 600,
    "running_share": 0.67,
    "make_ready_min_per_screen": 9,
}
FLATBED: dict[str, Any] = MANUAL | {
    "id": "flatbed",
    "machine": "flatbed",
    "stations": 1,
    "ink": "uv",
    "grades": ["coated", "film", "foil", "polycarbonate"],
    "max_ruling_lpi": 85,
    "frame_width_mm": 1000,
    "frame_length_mm": 1350,
    "frame_margin_mm": 130,
    "run_off_mm": 150,
    "solid_mesh_per_cm": 120,
    "rated_per_hour": 600,
    "running_share": 0.7,
    "feed": {
        "kind": "sheet",
        "min_width_mm": 200,
        "max_width_mm": 760,
        "min_length_mm": 280,
        "max_length_mm": 1060,
        "work_styles": ["one_side", "sheetwise", "work_and_turn"],
    },
}
SHIRT = Blank("T-shirt", 360, 420, 2.6, "test")
SHEET = ParentSheet(500, 700, "long", 0.2, "test")
# Opaque white of labels by rotary screen against the same by flexo: the fine mesh of the article on
# deposits.
LABEL_MESH_PER_CM = 120.0


def screen_press(base: Mapping[str, Any] = MANUAL, **figures: Any) -> ScreenPress:
    """A press of the schema; `base` with other figures."""
    feed = dict(base["feed"]) | figures.pop("feed", {})
    loaded = press_schema()().load({**base, **figures, "feed": feed})
    assert isinstance(loaded, ScreenPress)
    return loaded


def spots(count: int) -> tuple[Ink, ...]:
    """So many spot inks."""
    return tuple(Ink(f"spot {number}", "spot") for number in range(count))


def tee(**figures: Any) -> Stock:
    """A white shirt."""
    given: dict[str, Any] = {
        "id": "tee",
        "name": "Tee",
        "grade": "garment",
        "finish": "cotton",
        "grammage_gsm": 160.0,
        "caliper_um": 450.0,
        "blanks": (SHIRT,),
    }
    return Stock(**given | figures)


def sheets(**figures: Any) -> Stock:
    """A coated stock in sheets."""
    sheeted = {"id": "silk", "grade": "coated", "grammage_gsm": 350.0, "blanks": ()}
    return tee(**sheeted | {"sheets": (SHEET,)} | figures)


def shirt(
    front: tuple[Ink, ...], back: tuple[Ink, ...] = (), coverage: float = 0.2, **figures: Any
) -> Part:
    """A print of 250 x 300 mm with these inks on a shirt."""
    given: dict[str, Any] = {
        "name": "shirt",
        "kind": "piece",
        "width_mm": 250,
        "height_mm": 300,
        "flat_width_mm": 250,
        "flat_height_mm": 300,
        "pages": 2,
        "folds": 0,
        "bleed_mm": 0.0,
        "stock": tee(),
        "grain": "any",
        "front": Side(front, coverage if front else 0.0),
        "back": Side(back, coverage if back else 0.0),
        "ruling_lpi": 45.0,
        "variable_share": 0.0,
    }
    return Part(**given | figures)


def leaf_of(front: tuple[Ink, ...], back: tuple[Ink, ...] = (), **figures: Any) -> Part:
    """The same as a leaf."""
    return shirt(front, back, **{"kind": "leaf", "stock": sheets()} | figures)


def screened(
    part: Part, *, up: int = 1, turned: bool = False, previous: Previous | None = None,
    size_mm: tuple[float, float] = (500, 700),
) -> Work:  # fmt: skip
    """The part as the core lays it out: one a piece, or so many up on a sheet."""
    if turned:
        style, forms = "work_and_turn", (Form("both", part.inks),)
    else:
        style = "sheetwise" if len(part.sides) == 2 else "one_side"
        both = (Form("front", part.front.inks), Form("back", part.back.inks))
        forms = tuple(form for form in both if form.inks)
    piece = part.kind == "piece"
    width, length = (part.flat_width_mm, part.flat_height_mm) if piece else size_mm
    layout = Layout(
        width, length, SHIRT if piece else SHEET, style, up,  # type: ignore[arg-type]
        delivery="piece" if piece else "sheet",
    )  # fmt: skip
    return Work(part, layout, forms, previous)


def run_of(press: ScreenPress, work: Work) -> Run:
    """How the press runs a work that it can run."""
    run = speed(press, work)
    assert run is not None
    return run


def per_hour(run: Run) -> float:
    """Pieces an hour in one pass."""
    assert isinstance(run.cycles_per_hour, float)
    return run.cycles_per_hour


def default(name: str) -> Callable[[Inputs], float]:
    """A figure of a press that its plant file leaves to the default."""
    bare = {key: value for key, value in FLATBED.items() if key != "max_ruling_lpi"}
    return lambda _: getattr(screen_press(bare), name)


def tints(_: Inputs) -> list[float]:
    """Lightest and darkest tint that a press left to its defaults holds."""
    press = screen_press()
    return [press.min_tint_pct, press.max_tint_pct]


def wet_film(inputs: Inputs) -> float:
    """Deposit of a press that has just this mesh in stock; what the case leaves out is not used."""
    mesh = float(inputs["threads_per_cm"])
    unused_um = 100.0
    press = screen_press(
        mesh_fabric_um=[[mesh, inputs.get("fabric_um", unused_um)]],
        mesh_thread_um=[[mesh, inputs["thread_um"]]] if "thread_um" in inputs else [[1, unused_um]],
        weave=inputs.get("weave", "plain"),
    )
    return deposit_um(press, mesh)


def set_up(inputs: Inputs) -> float:
    """Make-ready of so many locations; the source's minutes a screen hold the pallets too."""
    press = screen_press(
        make_ready_min_per_screen=inputs["min_per_screen"], stock_set_up_min=0, stations=16
    )
    one = run_of(press, screened(shirt(spots(inputs["screens_each"])))).make_ready_min
    return float(inputs["locations"]) * one


def printing(inputs: Inputs) -> float:
    """Minutes to print so many locations on a press whose pace the plant knows."""
    pace = {"rated_per_hour": inputs["iph"], "load_s": 0, "stroke_s": 0, "stencil_life_pulls": 5e5}
    run = run_of(screen_press(**pace, stations=16), screened(shirt(spots(inputs["screens_each"]))))
    return 60 * float(inputs["locations"]) * float(inputs["pieces_each"]) / per_hour(run)


def pace(base: Mapping[str, Any]) -> Callable[[Inputs], float]:
    """Pieces an hour with two screens."""
    return lambda _: per_hour(run_of(screen_press(base), screened(shirt(spots(2)))))


def fastest(_: Inputs) -> float:
    """The fastest press that a plant file may hold."""
    rated: Any = press_schema()().fields["rated_per_hour"]
    return float(rated.validate.max)


def over_flexo(_: Inputs) -> float:
    """Wet opaque white by a fine screen over that by flexo, both left to their defaults."""
    flexo: Any = flexo_schema()().fields
    bcm, share = flexo["anilox_white_bcm"].load_default, flexo["transfer_share"].load_default
    by_flexo = flexo_film_cm3_per_m2(bcm, share)
    return deposit_um(screen_press(), LABEL_MESH_PER_CM) / by_flexo


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "line_screen_lpi": default("max_ruling_lpi"),
    "min_line_pt": default("min_line_pt"),
    "min_type_pt": default("min_type_pt"),
    "min_reverse_type_pt": default("min_reverse_type_pt"),
    "tint_range_pct": tints,
    "trap_pt": default("trap_pt"),
    "wet_film_um": wet_film,
    "stations_needed": lambda inputs: stations_needed(
        inputs["colours"], inputs["flash"], inputs["cooldown"]
    ),
    "screen_ink_over_flexo_ink": over_flexo,
    "setup_min": set_up,
    "print_min": printing,
    "manual_per_h": pace(MANUAL),
    "automatic_per_h": pace(AUTOMATIC),
    "cylinder_sheets_per_h_max": fastest,
    "polyurethane_squeegee_impressions": default("squeegee_life_impressions"),
}
NOT_MODELLED: dict[str, str] = {}
