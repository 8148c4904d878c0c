"""Random whole jobs: parts bound, inserted, finished and packed, and shops that make them."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st
from strategies import litho_presses, money, toner_presses

from shop import BLACK, CMYK, demo, job, leaf, plant, stock, with_inks
from sidelay.binders import Binder
from sidelay.buying import Terms
from sidelay.http.faults import Faults
from sidelay.http.job_reader import OVERPRINTED
from sidelay.http.whole_job import bind
from sidelay.job import LEAF_METHODS, Binding, Operation, Side
from sidelay.operations import FinishingMachine
from sidelay.pricing import PricePolicy
from sidelay.stock import ParentSheet, Reel

shares = st.sampled_from([0.0, 0.004, 0.011, 0.033])
METHODS = ("saddle_stitch", "perfect_bind", "thread_sewn", "wire", "pad")
COPY_OPERATIONS = ("band", "carton", "address")


@st.composite
def terms(draw, price):
    """How a merchant sells: in packs, with a least order, cheaper from some counts on."""
    cheaper = draw(st.lists(st.integers(50, 99), max_size=3, unique=True))
    starts = sorted(draw(st.sets(st.integers(100, 20_000), max_size=3)))
    return draw(
        st.one_of(
            st.none(),
            st.just(
                Terms(
                    draw(st.sampled_from([0, 100, 125, 500])),
                    draw(st.sampled_from([0, 50, 1_000])),
                    (
                        (0.0, price),
                        *(
                            (float(start), price * percent / 100)
                            for start, percent in zip(
                                starts, sorted(cheaper, reverse=True), strict=False
                            )
                        ),
                    ),
                    draw(st.booleans()),
                )
            ),
        )
    )


@st.composite
def papers(draw, name, grammages):
    grammage = draw(st.sampled_from(grammages))
    prices = draw(money) / 50, draw(money) / 150
    sheets = (
        ParentSheet(640, 900, "long", prices[0], "test", draw(terms(prices[0]))),
        ParentSheet(320, 450, "long", prices[1], "test", draw(terms(prices[1]))),
    )
    square_metre = draw(money) / 200
    reels = tuple(
        Reel(width, 8_000, square_metre, "test", draw(terms(square_metre))) for width in (640, 960)
    )
    return stock(
        id=name, name=name, grammage_gsm=grammage, caliper_um=grammage, sheets=sheets, reels=reels
    )


@st.composite
def machines(draw, operation, unit, **figures):
    """A machine of the shop by the unit, the lift or the pack, or work bought out."""
    given = {
        "id": f"{operation}_machine",
        "name": operation,
        "operation": operation,
        "unit": unit,
        "cost_centre": "bench",
        "set_up_min": draw(st.integers(0, 40)),
        "set_up_waste": draw(st.integers(0, 30)),
        "running_waste": draw(shares),
        "least_min": draw(st.sampled_from([0.0, 30.0])),
    }
    how = draw(st.sampled_from(["units", "lifts", "out"]))
    if unit == "copy" and operation in ("band", "carton"):
        given |= {"packs_per_hour": draw(st.integers(10, 600)), "material_per_pack": draw(money)}
        given |= {"default_per": draw(st.integers(1, 300))}
    elif how == "units":
        given |= {"units_per_hour": draw(st.integers(100, 9000))}
        given |= {"material_per_m2": draw(money) / 20, "material_per_unit": draw(money) / 500}
    elif how == "lifts":
        given |= {"lifts_per_hour": draw(st.integers(10, 200)), "lift_mm": 40.0}
    else:
        given |= {"bought_out": True, "cost_centre": "", "least_min": 0.0, "set_up_min": 0}
        given |= {"price_set_up": draw(money), "price_per_1000": draw(money) * 3}
        given |= {"least_price": draw(st.sampled_from([0.0, 85.5])), "tool_price": draw(money)}
    return FinishingMachine(**given | figures)


@st.composite
def binders(draw, method, name="binder", folds_sheets=None):
    """A binder in the shop or in the trade; one that stitches may fold flat sheets itself."""
    if folds_sheets is None:
        folds_sheets = method == "saddle_stitch" and draw(st.booleans())
    given = {
        "id": f"{method}_{name}",
        "name": f"{method} {name}",
        "method": method,
        "set_up_waste_copies": draw(st.integers(0, 40)),
        "running_waste": draw(shares),
        "grind_off_mm": 3.0 if method == "perfect_bind" else 0.0,
        "folds_sheets": folds_sheets,
        "stations": draw(st.integers(1, 6)),
        "material_per_copy": draw(money) / 100,
        "material_per_m": draw(st.sampled_from([0.0, 0.35])),
    }
    if draw(st.booleans()):
        given |= {"price_set_up": draw(money), "price_per_1000": draw(money) * 20}
        given |= {"price_per_1000_sections": draw(money), "least_price": draw(money) * 10}
    else:
        given |= {"cost_centre": "bench", "copies_per_hour": draw(st.integers(200, 9000))}
        given |= {"set_up_min": draw(st.integers(0, 60)), "set_up_min_per_section": 4}
        given |= {"leaves_per_hour": draw(st.one_of(st.none(), st.integers(500, 20_000)))}
        sewn = draw(st.integers(500, 6000)) if method == "thread_sewn" else None
        given |= {"sections_per_hour": sewn}
    return Binder(**given)


@st.composite
def binders_of(draw, method):
    """One binder of a method, or two that take turns; of stitchers one takes sections only."""
    first = draw(binders(method))
    if draw(st.booleans()):
        return (first,)
    other = method == "saddle_stitch" and not first.folds_sheets
    return first, draw(binders(method, "second", other))


@st.composite
def policies(draw):
    """A price policy, its margins by quantity, by value, or none."""
    margins = draw(
        st.sampled_from(
            [
                {},
                {"margins_by_quantity": ((1, 0.4), (500, 0.25), (2_000, 0.3), (9_000, 0.1))},
                {"margins_by_quantity": ((1, 0.3), (1_000, 0.05))},
                {"margins_by_value": ((0, 0.35), (40_000, 0.2), (900_000, 0.12))},
            ]
        )
    )
    return PricePolicy(
        *(draw(st.integers(0, 60)) / 100 for _ in range(3)),
        draw(st.sampled_from([0, 1500, 9000])),
        draw(st.sampled_from([1, 5, 100, 1000])),
        rush_premium=draw(st.sampled_from([0.0, 0.25])),
        **margins,
    )


@st.composite
def folding_webs(draw):
    """The heatset press of the demo plant at other figures, so that it wins small runs too."""
    web = next(each for each in demo().presses if each.press.id == "web_heatset_16")
    figures = {
        "cost_centre": "litho",
        "make_ready_min": draw(st.integers(0, 30)),
        "make_ready_copies": draw(st.integers(0, 900)),
        "plate_price": draw(money),
    }
    return replace(web, press=replace(web.press, **figures))


@st.composite
def whole_shops(draw, policy=None):
    """A shop of two to four presses that binds, finishes, inserts and packs.

    A web press folds what it prints, which a binder that takes flat sheets cannot use.
    """
    # Wide ranges of pages and thickness, so that jobs are made rather than refused.
    presses = [draw(litho_presses("litho_a")), draw(toner_presses("toner_a"))]
    presses += [draw(litho_presses("litho_b"))] if draw(st.booleans()) else []
    presses += [draw(folding_webs())] if draw(st.booleans()) else []
    if draw(st.booleans()):  # lamps are paid by the hour of the press
        lamps = replace(presses[0].press, drying="uv", lamp_kw=18.0)
        presses[0] = replace(presses[0], press=lamps)
    rates = {"litho": draw(st.integers(20, 250)) * 1.0, "toner": draw(st.integers(10, 80)) * 1.0}
    digits, currency = draw(st.sampled_from([(2, "EUR"), (0, "JPY"), (3, "KWD")]))
    return plant(
        *presses,
        rates=rates | {"bench": draw(st.integers(15, 90)) * 1.0},
        stocks={
            "text": draw(papers("text", [60.0, 90.0, 130.0])),
            "cover": draw(papers("cover", [170.0, 250.0])),
        },
        operations=(
            draw(machines("laminate", "sheet")),
            draw(machines("crease", "flat", scores=True)),
            draw(machines("drill", "piece")),
            draw(machines("insert", "copy")),
            *(draw(machines(name, "copy")) for name in COPY_OPERATIONS),
        ),
        binders=tuple(binder for method in METHODS for binder in draw(binders_of(method))),
        price_policy=draw(policies() if policy is None else policy),
        digits=digits,
        currency=currency,
    )


def _printed(draw, part):
    """The part in some inks; leaves and inserts are overprinted at times, each piece otherwise."""
    inks = st.sampled_from([CMYK, BLACK])
    back = draw(st.one_of(st.just(()), inks))
    part = with_inks(part, draw(inks), back, draw(st.integers(1, 100)) / 100)
    if part.kind not in OVERPRINTED or draw(st.booleans()):
        return part
    side = Side(draw(inks), draw(st.integers(1, 20)) / 100)
    overprint = draw(st.sampled_from([(side, Side()), (Side(), side), (side, side)]))
    return replace(part, overprint=overprint, variable_share=0.05)


@st.composite
def whole_jobs(draw, shop):
    """Pages in a binding with a cover and an insert, each where drawn; or loose parts together."""
    size = draw(st.sampled_from([(148, 210), (105, 148), (129, 198), (97, 201)]))
    # Stitching twice: it is there that folded copies meet a binder that folds itself.
    method = draw(st.sampled_from([None, "saddle_stitch", *METHODS]))
    text, thick = shop.stocks["text"], shop.stocks["cover"]
    parts = []
    if method == "pad":
        each = draw(st.integers(2, 50))
        for name in ("top", "bottom")[: draw(st.integers(1, 2))]:
            drilled = (Operation("drill", count=2),) if draw(st.booleans()) else ()
            part = leaf(*size, name=name, stock=text, per_copy=each, operations=drilled)
            parts.append(_printed(draw, part))
    elif method:
        least = 2 if method in LEAF_METHODS else 4
        pages = least * draw(st.integers(2, 40))
        film = (Operation("laminate"),) if draw(st.integers(0, 3)) == 0 else ()
        section = leaf(
            *size, kind="section", name="text", pages=pages, stock=text, operations=film
        )
        parts.append(_printed(draw, section))
    else:
        parts.append(_printed(draw, leaf(*size, name="sheet", stock=text)))
    if method and draw(st.booleans()):
        wishes = draw(st.sets(st.sampled_from(["laminate", "crease"])))
        operations = tuple(Operation(name) for name in sorted(wishes))
        cover = leaf(*size, kind="cover", name="cover", pages=4, stock=thick)
        parts.append(_printed(draw, replace(cover, operations=operations)))
    if draw(st.booleans()):
        kind = "insert" if method else "leaf"
        count = draw(st.integers(1, 3))
        parts.append(
            _printed(draw, leaf(99, 140, kind=kind, name="extra", stock=thick, per_copy=count))
        )
    binding = Binding(method) if method else None
    bound = bind(list(enumerate(parts)), binding, shop, Faults())
    names = draw(st.lists(st.sampled_from(COPY_OPERATIONS), max_size=3, unique=True))
    return replace(
        job(proof=draw(st.sampled_from(["none", "soft", "contract", "press"]))),
        parts=bound,
        binding=binding,
        operations=tuple(Operation(name) for name in names),
        overs_share=draw(st.sampled_from([0.0, 0.03, 0.1])),
        rush=draw(st.booleans()),
    )


@st.composite
def shops_and_jobs(draw, policy=None):
    """A shop, and a whole job for it."""
    shop = draw(whole_shops(policy))
    return shop, draw(whole_jobs(shop))
