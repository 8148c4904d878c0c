"""Six whole jobs on the demo plant, looked at as an estimator would.

Which process wins where and why, what a copy costs, and which way figures move. Unless a source is
named beside a check, ranges and directions are common practice, no source: wide on purpose, a
factor of two or so to either side of what a shop would quote. They catch nonsense, and prove no
figure.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import Any

import pytest

from shop import answer, compared, demo
from sidelay.plant import Plant
from sidelay.stock import Terms

CMYK = ["cyan", "magenta", "yellow", "black"]
Job = dict[str, Any]


def _inks(coverage: float, *names: str) -> dict[str, Any]:
    return {"inks": list(names or CMYK), "coverage": coverage}


def _programme() -> Job:
    both = {"front": _inks(0.3), "back": _inks(0.3)}
    part = {"name": "text", "kind": "section", "pages": 24, "size": "a5"}
    return {
        "parts": [part | both | {"stock": {"id": "silk_130"}}],
        "binding": {"method": "saddle_stitch"},
        "operations": [{"operation": "carton"}],
    }


def _paperback() -> Job:
    size, black = {"width": 129, "height": 198}, _inks(0.06, "black")
    text = {"name": "text", "kind": "section", "pages": 300, "size": size, "grain": "long"}
    text |= {"stock": {"id": "book_cream_80"}, "front": black, "back": black, "bleed_mm": 0}
    cover = {"name": "cover", "kind": "cover", "size": size, "stock": {"id": "cover_240"}}
    cover |= {"front": _inks(0.4), "operations": [{"operation": "laminate", "finish": "matt"}]}
    return {
        "parts": [text, cover],
        "binding": {"method": "perfect_bind"},
        "operations": [{"operation": "carton"}, {"operation": "pallet"}],
    }


def _leaflet() -> Job:
    part = {"name": "leaflet", "size": {"width": 99, "height": 210}, "pages": 6, "folds": 2}
    part |= {"flat_size": {"width": 297, "height": 210}, "stock": {"id": "silk_150"}}
    return {
        "parts": [part | {"front": _inks(0.25), "back": _inks(0.25)}],
        "operations": [{"operation": "band", "per": 100}, {"operation": "carton"}],
    }


def _pads() -> Job:
    wishes = [{"operation": "number"}, {"operation": "perforate"}]
    ply = {"size": "a5", "per_copy": 50, "bleed_mm": 0, "operations": wishes}
    ply |= {"front": _inks(0.08, "black")}
    stocks = {"top": "top_white", "middle": "mid_yellow", "bottom": "bottom_pink"}
    return {
        "parts": [
            ply | {"name": name, "stock": {"id": f"carbonless_{which}_80"}}
            for name, which in stocks.items()
        ],
        "binding": {"method": "pad", "edge": "top"},
        "operations": [{"operation": "shrink_wrap", "per": 10}],
    }


def _cover() -> Job:
    wishes = [
        {"operation": "laminate", "finish": "matt"},
        {"operation": "varnish", "finish": "spot_uv", "area_share": 0.15},
        {"operation": "crease", "count": 2},
    ]
    part = {"name": "cover", "size": {"width": 430, "height": 297}, "stock": {"id": "silk_350"}}
    return {"parts": [part | {"front": _inks(0.4), "operations": wishes}]}


def _cartons() -> Job:
    part = {"name": "carton", "kind": "carton", "size": {"width": 180, "height": 240}}
    part |= {"stock": {"id": "boxboard_300"}, "front": _inks(0.5)}
    return {"parts": [part], "operations": [{"operation": "carton"}]}


JOBS = {
    "programme": _programme(),
    "paperback": _paperback(),
    "leaflet": _leaflet(),
    "pads": _pads(),
    "cover": _cover(),
    "cartons": _cartons(),
}
LADDER = (50, 100, 250, 500, 1_000, 2_500, 5_000, 10_000, 20_000, 50_000)
BOUND = ("programme", "paperback", "pads")


@cache
def ladder(name: str) -> tuple[dict[str, Any], ...]:
    """The offers of a job at every quantity of the ladder, on the whole demo plant."""
    return tuple(answer(demo(), quantities=list(LADDER), **JOBS[name])["estimates"])


@cache
def comparison(name: str) -> dict[str, Any]:
    return compared(demo(), quantities=[1_000], up_to=100_000, **JOBS[name])


def at(name: str, quantity: int) -> dict[str, Any]:
    return ladder(name)[LADDER.index(quantity)]


def lines(offer: dict[str, Any]) -> list[dict[str, Any]]:
    of_parts = [line for part in offer["parts"] for line in part["lines"]]
    return of_parts + [line for step in offer["operations"] for line in step["lines"]]


def stages(offer: dict[str, Any]) -> Counter[str]:
    """Money by stage."""
    found: Counter[str] = Counter()
    for line in lines(offer):
        found[line["stage"]] += float(line["cost"])  # type: ignore[assignment]
    return found


def total(offer: dict[str, Any]) -> float:
    return float(offer["cost"]["total"])


def operations(offer: dict[str, Any], name: str) -> list[dict[str, Any]]:
    every = [step for part in offer["parts"] for step in part["operations"]]
    return [step for step in (*every, *offer["operations"]) if step["operation"] == name]


# What a copy costs --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "quantity", "low", "high"),
    [
        ("programme", 250, 0.50, 3.00),
        ("programme", 1_000, 0.25, 1.25),
        ("programme", 5_000, 0.12, 0.60),
        ("paperback", 50, 3.00, 15.00),
        ("paperback", 500, 1.50, 6.00),
        ("paperback", 2_500, 1.00, 4.00),
        ("paperback", 20_000, 0.60, 2.50),
        ("leaflet", 10_000, 0.02, 0.12),
        ("pads", 100, 3.00, 15.00),
        ("pads", 500, 2.00, 9.00),
        ("cover", 1_000, 0.30, 1.50),
        ("cover", 5_000, 0.12, 0.70),
        ("cartons", 5_000, 0.06, 0.40),
        ("cartons", 20_000, 0.03, 0.20),
    ],
)
def test_a_copy_costs_what_one_would_expect(
    name: str, quantity: int, low: float, high: float
) -> None:
    assert low <= float(at(name, quantity)["price"]["per_piece"]) <= high


@pytest.mark.parametrize("name", JOBS)
def test_more_copies_never_cost_less_together_nor_more_each(name: str) -> None:
    for fewer, more in pairwise(ladder(name)):
        assert float(fewer["price"]["net"]) <= float(more["price"]["net"])
        assert float(fewer["price"]["per_piece"]) >= float(more["price"]["per_piece"])


@pytest.mark.parametrize("name", JOBS)
def test_paper_takes_a_growing_share_as_the_run_grows(name: str) -> None:
    # On one press and route: what is paid once is spread, paper is paid for every copy.
    wanted = {"quantities": [1_000, 5_000, 25_000], "only_presses": ("litho_b1_five",)}
    offers = answer(demo(), **wanted, **JOBS[name])["estimates"]
    shares = [stages(offer)["stock"] / total(offer) for offer in offers]
    assert shares == sorted(shares)
    assert 0.05 < shares[0] < shares[-1] < 0.75


@pytest.mark.parametrize("name", JOBS)
def test_paper_of_a_long_run_is_what_the_copies_weigh_and_some_spoilage(name: str) -> None:
    # Beside make-ready, which 20,000 pieces 13 up on 1,540 sheets feel more than others, running
    # and finishing spoil 1 to 10 % of the sheets.
    for part in at(name, 20_000)["parts"]:
        sheets = part["sheets"]
        assert 1.01 < (sheets["total"] - sheets["make_ready"]) / sheets["net"] < 1.10


# Which process wins, and why ----------------------------------------------------------------------


@pytest.mark.parametrize("name", ["programme", "leaflet", "cover"])
def test_a_plateless_press_wins_short_runs_and_litho_long_ones(name: str) -> None:
    bands = comparison(name)["bands"]
    assert bands[0]["process"] in ("toner", "dod_inkjet")
    assert bands[-1]["process"] == "sheetfed_litho"
    assert 200 <= bands[-1]["from"] <= 5_000
    # Why: nothing is made and little is set for the one, each copy is cheaper on the other.
    short, long = at(name, 50), at(name, 20_000)
    assert not stages(short)["carrier"]
    assert stages(long)["carrier"] > 0
    assert float(short["cost"]["fixed"]) < float(long["cost"]["fixed"])
    assert total(short) / 50 > 2 * total(long) / 20_000


def test_a_paperback_goes_from_inkjet_over_litho_to_the_heatset_web() -> None:
    texts = [band["process"] for band in comparison("paperback")["bands"]]
    order = list(dict.fromkeys(texts))
    assert order[0] in ("toner", "dod_inkjet")
    assert order[-1] == "web_litho"
    (first_web, *_) = [
        band["from"] for band in comparison("paperback")["bands"] if band["process"] == "web_litho"
    ]
    # Ten sections follow each other: the folder is set and the reels are hung but once for them.
    assert 2_500 <= first_web <= 20_000  # common practice, no source
    choices = {
        choice["press"]: choice
        for choice in compared(demo(), quantities=[20_000], up_to=20_000, **JOBS["paperback"])[
            "quantities"
        ][0]["choices"]
    }
    web, sheet = choices["web_heatset_16"], choices["litho_b1_five"]
    assert web["rank"] == 1
    # Why: more to set, but it prints and folds both sides of far more pages an hour.
    assert float(web["cost"]["fixed"]) > float(sheet["cost"]["fixed"])
    assert float(web["cost"]["variable"]) < float(sheet["cost"]["variable"])
    assert not operations(web, "fold")
    assert operations(sheet, "fold")


def test_covers_and_text_of_a_book_choose_their_presses_apart() -> None:
    routes = [
        {step["part"]: step["process"] for step in offer["route"]}
        for offer in ladder("paperback")
    ]
    assert routes[0]["cover"] == "toner"
    assert routes[-1]["cover"] == "sheetfed_litho"
    assert {route["text"] for route in routes} != {route["cover"] for route in routes}


def test_pads_of_one_colour_are_small_litho_work() -> None:
    for quantity in (50, 100, 250):
        assert {step["press"] for step in at("pads", quantity)["route"]} == {"litho_b3_two"}


def test_board_for_cartons_is_litho_work_since_nothing_else_here_takes_it() -> None:
    found = comparison("cartons")
    assert {band["press"] for band in found["bands"]} == {"litho_b1_five"}
    toner = [each for each in found["excluded"] if each["process"] == "toner"]
    assert toner
    for each in toner:
        assert {"grade_unsuitable", "caliper_outside"} & {f["code"] for f in each["findings"]}


# How they are made --------------------------------------------------------------------------------


def test_a_programme_is_cut_folded_gathered_and_stitched_in_that_order() -> None:
    offer = at("programme", 20_000)  # on the line; the booklet maker folds flat sheets itself
    steps = [step["operation"] for step in offer["parts"][0]["operations"]]
    assert steps.index("cut") < steps.index("fold") < steps.index("gather")
    assert [step["operation"] for step in offer["operations"]] == ["saddle_stitch", "carton"]
    assert {"section": offer["parts"][0]["split"]} == {
        "section": "24 pages in sections of 1 x 16 + 1 x 8"
    }


def test_a_paperback_is_as_thick_as_its_paper_and_its_cover() -> None:
    binding = answer(demo(), quantities=[1_000], **JOBS["paperback"])["binding"]
    book, cover = demo().stocks["book_cream_80"], demo().stocks["cover_240"]
    wanted = (150 * book.caliper_um + 2 * cover.caliper_um) / 1000
    assert binding["spine_mm"] == pytest.approx(wanted, abs=0.01)
    assert 15 < binding["spine_mm"] < 25
    assert binding["cover_flat_mm"][0] == pytest.approx(2 * 129 + wanted, abs=1)


def test_a_short_run_of_books_is_bound_on_the_bench_and_a_long_one_on_the_line() -> None:
    # A line of two people and twenty spoiled books to set it is dear for fifty copies.
    (short,), (long,) = (operations(at("paperback", n), "perfect_bind") for n in (50, 5_000))
    assert (short["machine"], long["machine"]) == ("bench_binder", "perfect_binder")
    assert short["into"] <= 60


@pytest.mark.parametrize("method", ["thread_sewn", "case"])
def test_sewing_is_paid_for_each_section_however_the_sheets_are_printed(method: str) -> None:
    # Sheets printed one after another are nested into sections before they are sewn.
    text = _paperback()["parts"][0] | {"pages": 320}
    cover = _paperback()["parts"][1] | {"operations": []}
    wanted = {"parts": [text, cover], "binding": {"method": method}, "quantities": [500]}
    (compared_at,) = compared(demo(), up_to=1_000, **wanted)["quantities"]
    (binder,) = [each for each in demo().binders if each.method == method and each.bought_out]
    for choice in compared_at["choices"]:
        sewn = [s for s in choice["parts"][0]["operations"] if s["operation"] == "gather"]
        assert sewn, choice["press"]
        money = sum(
            float(line["cost"])
            for line in choice["parts"][0]["lines"]
            if line["stage"] == "binding"
        )
        sections = money / 500 / (binder.price_per_1000_sections / 1000)
        assert 320 / 32 <= sections <= 1.1 * 320 / 4


def test_sets_of_three_plies_are_collated_before_they_are_padded() -> None:
    offer = at("pads", 100)
    assert len(operations(offer, "collate")) == 3
    assert sum(step["run_min"] for step in operations(offer, "collate")) > 30
    # 50 sets a pad, each ply numbered and perforated.
    for part in offer["parts"]:
        done = [step["operation"] for step in part["operations"]]
        assert done[:1] == ["number"]
        assert "perforate" in done


def test_a_varnish_bought_out_costs_its_least_price_once_and_takes_days() -> None:
    (varnish,) = operations(at("cover", 250), "varnish")
    assert varnish["bought_out"]
    assert varnish["lead_days"] >= 2
    bought = [line for line in lines(at("cover", 250)) if line["label"].startswith("varnish")]
    assert sum(float(line["cost"]) for line in bought) == pytest.approx(150.0, abs=0.01)


def test_the_die_of_a_carton_is_paid_once_and_weighs_less_as_the_run_grows() -> None:
    # A long run is worth a larger die with more on it: its share falls slower than the run rises.
    dies, shares = [], []
    for quantity in (5_000, 20_000, 50_000):
        offer = at("cartons", quantity)
        (die,) = [line for line in lines(offer) if line["stage"] == "die"]
        dies.append(float(die["cost"]))
        shares.append(dies[-1] / total(offer))
    assert all(95 <= die <= 1_500 for die in dies)
    assert dies == sorted(dies)
    assert shares == sorted(shares, reverse=True)
    assert dies[0] / 5_000 > 4 * dies[-1] / 50_000


def test_coated_board_takes_the_ink_of_coated_stock() -> None:
    # Board is printed on its coated front: ink does not sink in as it does into uncoated paper.
    (ink,) = [line for line in lines(at("cartons", 5_000)) if line["label"] == "process ink"]
    assert ink["because"].endswith("g/m2, coated")


# Which way it moves -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", BOUND)
def test_binders_twice_as_fast_never_cost_more(name: str) -> None:
    faster = replace(
        demo(),
        binders=tuple(
            replace(each, copies_per_hour=2 * each.copies_per_hour)
            if each.copies_per_hour
            else each
            for each in demo().binders
        ),
    )
    before, after = ladder(name), _on(faster, name)
    assert all(a <= b for a, b in zip(after, map(total, before), strict=True))
    assert after[-1] < total(before[-1])


def _dearer(terms: Terms | None) -> Terms | None:
    if terms is None:
        return None
    return replace(terms, tiers=tuple((least, 1.3 * price) for least, price in terms.tiers))


@pytest.mark.parametrize("name", JOBS)
def test_dearer_paper_never_makes_a_job_cheaper(name: str) -> None:
    dearer = {
        key: replace(
            stock,
            sheets=tuple(
                replace(sheet, price=1.3 * sheet.price, terms=_dearer(sheet.terms))
                for sheet in stock.sheets
            ),
            reels=tuple(
                replace(reel, price_per_m2=1.3 * reel.price_per_m2, terms=_dearer(reel.terms))
                for reel in stock.reels
            ),
        )
        for key, stock in demo().stocks.items()
    }
    after = _on(replace(demo(), stocks=dearer), name)
    assert all(a >= total(b) for a, b in zip(after, ladder(name), strict=True))


@pytest.mark.parametrize("name", JOBS)
def test_a_faster_guillotine_and_folder_never_cost_more(name: str) -> None:
    bindery = demo().bindery
    knife = replace(bindery.guillotine, first_two_cuts_min=2.5, further_cut_min=0.2)
    folder = replace(bindery.folder, set_up_min=5, set_up_min_per_fold=3)
    after = _on(replace(demo(), bindery=replace(bindery, guillotine=knife, folder=folder)), name)
    assert all(a <= total(b) for a, b in zip(after, ladder(name), strict=True))


@pytest.mark.parametrize("name", JOBS)
def test_what_every_answer_warns_of_is_what_it_uses(name: str) -> None:
    found = answer(demo(), quantities=[100, 5_000], **JOBS[name])
    used = {
        step["operation"]
        for offer in found["estimates"]
        for step in (*(s for p in offer["parts"] for s in p["operations"]), *offer["operations"])
    }
    assert {each["operation"] for each in found["safety_finishing"]} == used


def _on(of: Plant, name: str) -> list[float]:
    """What a job costs on another plant, at every quantity of the ladder."""
    return [total(o) for o in answer(of, quantities=list(LADDER), **JOBS[name])["estimates"]]


def test_a_machine_that_folds_flat_sheets_gets_no_folded_sections() -> None:
    (maker,) = [each for each in demo().binders if each.id == "booklet_maker"]
    assert maker.folds_sheets
    for offer in ladder("programme"):
        if operations(offer, "saddle_stitch")[0]["machine"] == maker.id:
            assert not operations(offer, "fold")
