"""What the web litho model says to the cases of web litho in general, and presses to ask it with.

A press here is loaded through the plug-in's schema, as from a plant file. What the schema leaves
to its defaults is the default's: the norms of an older press, the newspaper waste table.
"""

from collections.abc import Callable, Mapping
from typing import Any

from sidelay.job import PROCESS_INKS, Ink, Part, Previous, Side
from sidelay.stock import Reel, Stock
from sidelay.work import Form, Layout, Run, Work
from sidelay_web_litho import press_schema, speed
from sidelay_web_litho.press import WebPress

Inputs = Mapping[str, Any]
NEWS: dict[str, Any] = {
    "id": "news",
    "name": "Newspaper press",
    "cost_centre": "web",
    "drying": "coldset",
    "inks_per_side": 4,
    "grades": ["newsprint", "uncoated"],
    "quality": "office",
    "min_grammage_gsm": 40,
    "max_grammage_gsm": 80,
    "max_ruling_lpi": 102,
    "min_type_pt": 7,
    "min_reverse_type_pt": 10,
    "min_colour_type_pt": 10,
    "min_reverse_colour_type_pt": 12,
    "register_mm": 0.127,
    "max_total_coverage_pct": 220,
    "plate_dpi": 1270,
    "plate_price": 4.5,
    "plate_life_impressions": 250_000,
    "rated_cutoffs_per_hour": 30_000,
    "heavy_above_gsm": 60,
    "make_ready_min": 15,
    "make_ready_min_per_plate": 2,
    "black_ink_price_per_kg": 2.2,
    "process_ink_price_per_kg": 4.2,
    "ink_oil_share": 0.24,
    "oil_retained_share": 0.95,
    "feed": {
        "kind": "web",
        "min_width_mm": 380,
        "max_width_mm": 1700,
        "min_cutoff_mm": 400,
        "max_cutoff_mm": 640,
        "gap_mm": 0,
        "webs": 4,
        "most_collected": 2,
    },
}
HEATSET: dict[str, Any] = NEWS | {
    "id": "heatset",
    "name": "Heatset press",
    "drying": "heatset",
    "grades": ["coated", "uncoated"],
    "quality": "commercial",
    "max_grammage_gsm": 150,
    "max_ruling_lpi": 175,
    "max_total_coverage_pct": 300,
    "plate_dpi": 2400,
    "plate_price": 14,
    "rated_cutoffs_per_hour": 50_000,
    "heavy_above_gsm": 115,
    "running_share": 1.0,
    "ink_oil_share": 0.36,
    "oil_retained_share": 0.20,
}
REEL = Reel(813, 10_000, 0.03, "test")


def web_press(base: Mapping[str, Any] = NEWS, **figures: Any) -> WebPress:
    """A press of the schema; `base` with other figures."""
    feed = dict(base["feed"]) | figures.pop("feed", {})
    loaded = press_schema()().load({**base, **figures, "feed": feed})
    assert isinstance(loaded, WebPress)
    return loaded


def inks(count: int) -> tuple[Ink, ...]:
    """So many inks, black first."""
    names = ("black", "cyan", "magenta", "yellow", "spot one", "spot two")[:count]
    return tuple(Ink(name, "process" if name in PROCESS_INKS else "spot") for name in names)


def web_stock(**figures: Any) -> Stock:
    """Newsprint in reels."""
    given: dict[str, Any] = {
        "id": "news_45",
        "name": "Newsprint",
        "grade": "newsprint",
        "finish": "matt",
        "grammage_gsm": 45.0,
        "caliper_um": 68.0,
        "reels": (REEL,),
    }
    return Stock(**given | figures)


def web_part(front: int = 1, back: int = 1, coverage: float = 0.2, **figures: Any) -> Part:
    """Four broadsheet pages that fill a cut-off of 578 x 800 mm, with so many inks a side."""
    given: dict[str, Any] = {
        "name": "paper",
        "kind": "section",
        "width_mm": 400,
        "height_mm": 578,
        "flat_width_mm": 800,
        "flat_height_mm": 578,
        "pages": 4,
        "folds": 1,
        "bleed_mm": 0.0,
        "stock": web_stock(),
        "grain": "any",
        "front": Side(inks(front), coverage if front else 0.0),
        "back": Side(inks(back), coverage if back else 0.0),
        "ruling_lpi": 85.0,
        "variable_share": 0.0,
    }
    return Part(**given | figures)


def web_work(
    part: Part | None = None, webs: int = 1, previous: Previous | None = None, **figures: Any
) -> Work:
    """The part on cut-offs of 578 mm of one or more webs, as the core lays it out."""
    wanted = part or web_part()
    style = "perfecting" if len(wanted.sides) == 2 else "one_side"
    given: dict[str, Any] = {
        "width_mm": 813,
        "length_mm": 578,
        "supply": REEL,
        "style": style,
        "up": 1,
        "webs": webs,
        "across": 2,
        "delivery": "copy",
    }
    sides = (("front", wanted.front.inks), ("back", wanted.back.inks))
    forms = tuple(Form(prints, each) for prints, each in sides if each) * webs  # type: ignore[arg-type]
    return Work(wanted, Layout(**given | figures), forms, previous)


def run_of(press: WebPress, work: Work) -> Run:
    """How the press runs a work that it can run."""
    run = speed(press, work)
    assert run is not None
    return run


def spoiled_share(press: WebPress, work: Work, copies: float) -> float:
    """Share of a run that the press spoils, start and run together: F / run + r."""
    run = run_of(press, work)
    assert isinstance(run.running_waste, float)
    return run.make_ready_cycles / copies + run.running_waste


def unit_wash(_: Inputs) -> float:
    """One ink of one form to wash out, blankets apart."""
    press = web_press(standing_inks=[], blanket_wash_min=0)
    return run_of(press, web_work(web_part(1, 0))).wash_up_min


def full_wash(_: Inputs) -> float:
    """All units of a four-colour press to wash out, blankets apart."""
    press = web_press(standing_inks=[], blanket_wash_min=0)
    return run_of(press, web_work(web_part(4, 4))).wash_up_min


def reel_width_change(_: Inputs) -> float:
    """Make-ready on another stock over make-ready on the same."""
    part, press = web_part(), web_press()
    minutes = [
        run_of(press, web_work(part, previous=Previous("news", part.inks, stock))).make_ready_min
        for stock in ("another", part.stock.id)
    ]
    return minutes[0] - minutes[1]


def refold(_: Inputs) -> float:
    """Make-ready of folded copies over make-ready of sheets."""
    press = web_press()
    folded, flat = web_work(), web_work(delivery="sheet")
    return run_of(press, folded).make_ready_min - run_of(press, flat).make_ready_min


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "wash_inking_unit_min": unit_wash,
    "wash_all_rollers_min": full_wash,
    "change_reel_width_min": reel_width_change,
    "3fold_to_4fold_min": refold,
}
NOT_MODELLED: dict[str, str] = {
    "refold_book_to_magazine_min": "one figure a press for re-setting its folder: a job says how "
    "it folds, not how the last one did",
    "repack_one_cylinder_min": "maintenance between jobs, part of the rate of the cost centre",
}
