"""Three works orders worked by hand from the figures of the demo plant, each beside its sum.

The figures are the demo plant's own, common practice where its file says so; what is checked is
that hours, sheets and packs come out as a works office would reckon them on paper.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import EXAMPLES


def asked(client: FlaskClient, name: str, quantity: int, *processes: str) -> Any:
    """The works order and the purchases of an example at one quantity, each by its ids."""
    body = json.loads((EXAMPLES / f"{name}.json").read_bytes()) | {"detail": "lines"}
    body["job"]["quantities"] = [quantity]
    if processes:
        body["processes"] = list(processes)
    (offer,) = client.post("/estimate", json=body).get_json()["estimates"]
    operations = {op["id"]: op for op in offer["works_order"]}
    return operations, {each["id"]: each for each in offer["purchases"]}


def hours(op: dict[str, Any]) -> Any:
    return pytest.approx((op["set_up_h"], op["run_h"]), abs=1e-4)


def test_a_booklet_with_a_cover_and_a_slip(client: FlaskClient) -> None:
    done, bought = asked(client, "programme_with_insert", 500)

    # 500 out; spoiled 10 and 0.4 %: 512 go in. One insert: 15 + 4 min; 512 / 3,000 an hour, of two.
    insert = done["copies/insert"]
    assert (insert["into"], insert["out"], insert["crew"]) == (512, 500, 2)
    assert hours(insert) == (19 / 60, 512 / 3000)
    # 512 out; spoiled 3 and 1 %, begun: 6. 8 min; 1,000 an hour.
    stitch = done["copies/saddle_stitch"]
    assert (stitch["into"], stitch["machine"]) == (521, "booklet_maker")
    assert hours(stitch) == (8 / 60, 521 / 1000)

    # Cover: 521 out; creased with 10 and 0.5 %, begun 3, spoiled; one line, 4 + 1.5 min.
    crease = done["cover/crease"]
    assert (crease["into"], crease["handed_on"]) == (534, {"amount": 521, "unit": "piece"})
    assert hours(crease) == (5.5 / 60, 534 / 3500)
    # Two up: 267 sheets, and 2 and 0.2 %, begun 1, spoiled. One lift of 340, 6 cuts: 5 + 4 x 0.4.
    cut = done["cover/cut"]
    assert (cut["into"], cut["out"], cut["lots"], cut["machine"]) == (270, 267, 1, "guillotine")
    assert cut["handed_on"] == {"amount": 534, "unit": "piece"}
    assert hours(cut) == (5 / 60, 6.6 / 60)
    # 1 % of 270, begun: 3 sheets spoiled running, 4 before. Half a person at the press.
    run, ready = done["cover/run"], done["cover/make_ready"]
    assert (ready["into"], ready["out"], run["into"], run["out"]) == (277, 273, 273, 270)
    assert run["crew"] == 0.5
    paper = bought["cover/stock-coated_silk_250_g_m2"]
    assert (paper["item"], paper["size_mm"], paper["amount"]) == ("silk_250", [320, 450], 277)

    # Pages: 521 pieces two up, 261 sheets, 264 with the cutter's; worked and turned in two passes,
    # each with 2 %: 10.56, begun 11; 4 plates and a form spoil 180 before.
    ready, run, back = (done[f"text/{name}"] for name in ("make_ready", "run", "backing_up"))
    assert ready["carriers"]["count"] == 4
    assert ready["spoiled"] == {"make_ready": 180, "running": 0}
    assert run["spoiled"] == {"make_ready": 0, "running": 11}
    assert (ready["into"], run["into"], back["into"], back["out"]) == (455, 275, 264, 264)
    # A form at 8 min, 4 plates at 2; 275 sheets at 10,800 an hour each pass, of two.
    assert hours(ready) == (16 / 60, 0)
    assert (ready["crew"], run["passes"], back["passes"]) == (2, 1, 1)
    assert run["run_h"] + back["run_h"] == pytest.approx(2 * 275 / 10_800, abs=6e-4)
    assert run["lines"]
    assert not back["lines"]
    # 321 to a carton: two, at 30 an hour.
    assert (done["copies/carton"]["lots"], done["copies/carton"]["per"]) == (2, 321)
    assert hours(done["copies/carton"]) == (0, 2 / 30)
    assert bought["copies/packing-carton_material"]["amount"] == 2


def test_a_reel_of_labels_with_a_die_bought_out(client: FlaskClient) -> None:
    done, bought = asked(client, "bottle_labels", 40_000, "flexo")
    repeat_m = 65 * 3.175e-3  # 65 teeth of 1/8 in circular pitch

    # 1,000 to a reel: 40 of them, half a minute and a core each.
    wind = done["label/wind_reels"]
    assert (wind["into"], wind["per"], wind["lots"]) == (40_000, 1000, 40)
    assert hours(wind) == (0, 20 / 60)
    assert bought["label/finishing-wind_reels_cores"]["amount"] == 40
    # Six on a repeat: 6,667 repeats. 10 m are 49 repeats, 0.5 % are 34: 6,750 go in.
    slit = done["label/slit"]
    assert (slit["into"], slit["out"], slit["handed_on"]["amount"]) == (6750, 6667, 40_002)
    assert (slit["machine"], slit["unit"]) == ("slitter", "sheet")
    assert (15 / 60, 6750 * repeat_m / 120 / 60) == hours(slit)
    # 40 m and 5 plates at 25 m: 165 m, 800 repeats begun. 8 min for the stock, 5 min a plate.
    ready, run = done["label/make_ready"], done["label/run"]
    assert ready["spoiled"]["make_ready"] == 800
    assert run["out"] == 6750
    assert ready["into"] == 800 + run["into"]
    assert hours(ready) == (33 / 60, 0)
    # 100 m/min with the die, and 5 min at the end of each reel of 2,000 m: 80 m/min on the whole;
    # a change of worn plates once in a million repeats adds about 1 %.
    assert run["run_h"] == pytest.approx(run["into"] * repeat_m / 80 / 60, rel=0.015)

    plates, die = bought["label/carrier-plates"], bought["label/die-flexible_die"]
    assert (plates["amount"], plates["lead_days"], plates["kind"]) == (5, 2, "carrier")
    assert (die["amount"], die["lead_days"], die["kind"]) == (1, 3, "tool")
    assert die["for_operation"] == "label/make_ready"
    web = bought["label/stock-white_polypropylene_labelstock_on_glassine"]
    # A reel of 250 mm, of which 1 % is lost; at least 500 m2 are sold.
    run_m = ready["into"] * repeat_m / 0.99
    assert web["reel"] == {
        "width_mm": 250,
        "length_m": 2000,
        "run_m": pytest.approx(run_m, abs=0.05),
        "reels": 1,
    }
    assert web["amount"] == pytest.approx(run_m * 0.25, abs=1e-4)
    assert (web["unit"], web["unit_price"], web["cost"]) == ("m2", 0.88, "440.00")
    assert (web["packs"]["least_order"], web["packs"]["paid_for"]) == (500, 500)


def test_a_book_in_sections_whose_binding_is_bought_out(client: FlaskClient) -> None:
    done, bought = asked(client, "case_bound_history", 2000, "sheetfed_litho")

    # 2,000 out; 20 and 2 % spoiled: 2,060 books to the trade binder, back in 12 days.
    case = done["copies/case"]
    assert (case["into"], case["out"], case["lead_days"]) == (2060, 2000, 12)
    assert (case["bought_out"], case["machine"], case["lines"]) == (True, None, [])
    assert case["after"] == ["text/gather", "case/cut"]
    set_up = bought["copies/binding-case_set_up_bought_out"]
    book = bought["copies/binding-case_bought_out"]
    assert (set_up["item"], set_up["cost"], set_up["kind"]) == ("trade_case", "260.00", "outwork")
    # 2,100 for 1,000 and boards at 0.55.
    assert (book["amount"], book["unit"], book["unit_price"]) == (2060, "{copy}", 2.65)
    assert (book["cost"], book["for_operation"]) == ("5459.00", "copies/case")
    # 8 sections of a copy at 42 for 1,000.
    gathered = bought["text/binding-gather_bought_out"]
    assert (gathered["cost"], gathered["for_operation"]) == ("692.16", "text/gather")
    assert done["text/gather"]["lead_days"] == 0

    # 256 pages are 8 sections of 32; each folded with 1.1 %, begun 23, and its share of what the
    # folder spoils once, 4 x 20 / 8; 10 + 4 x 6 min.
    fold = done["text/fold"]
    assert fold["section"] == {"pages": 32, "times": 8}
    assert (fold["into"], fold["out"]) == (8 * 2093, 8 * 2060)
    assert fold["set_up_h"] == pytest.approx(34 / 60, abs=1e-4)
    # Trimmed out of the sheet: 0.2 %, begun 5, and a share of 2, begun 1. 4 cuts: 5.8 min a lift of
    # 625 sheets of 128 um; each section has lifts of its own, 4 of them.
    cut = done["text/cut"]
    assert (cut["into"], cut["lots"], cut["per"]) == (8 * 2099, 32, 625)
    assert hours(cut) == (5 / 60, 32 * 5.8 / 60)
    # Perfected: 2 plates to a section; 2 forms at 8 min and 2 plates at 2 each, eight times.
    ready, run = done["text/make_ready"], done["text/run"]
    assert (ready["carriers"]["count"], ready["crew"]) == (16, 2)
    assert hours(ready) == (8 * 20 / 60, 0)
    assert run["out"] == 8 * 2099
    assert run["into"] / 9180 == pytest.approx(run["run_h"], abs=4e-4)
    assert bought["text/carrier-plates"]["cost"] == "144.00"
    paper = bought["text/stock-bulky_book_paper_cream_80_g_m2"]
    assert paper["amount"] == ready["into"]
    assert (paper["size_mm"], paper["grain"], paper["lead_days"]) == ([700, 1000], "long", 2)
    # 0.7 m2 at 80 g/m2 is 56 g; 1,270 a tonne from 8,000 sheets.
    assert paper["unit_price"] == pytest.approx(0.056 * 1.270)


def test_packs_that_the_merchant_does_not_open(client: FlaskClient) -> None:
    _, bought = asked(client, "folding_cartons", 5000)
    board = bought["carton/stock-folding_boxboard_coated_one_side_300_g_m2"]
    # 546 sheets needed, in packs of 100.
    assert board["amount"] == 546
    assert board["packs"] == {"pack": 100, "packs": 6, "least_order": None, "paid_for": 600}
    assert float(board["cost"]) == pytest.approx(600 * board["unit_price"], abs=0.005)


def test_less_than_the_least_price_of_work_bought_out(client: FlaskClient) -> None:
    _, bought = asked(client, "case_bound_history", 100)
    cased = bought["copies/binding-case_bought_out"]
    # At least 650 for a job, its set-up of 260 among it: 122 books are charged as 390 of money.
    assert (cased["amount"], cased["cost"]) == (122, "390.00")
    assert cased["packs"]["paid_for"] == pytest.approx(390 / 2.65)


def test_stock_of_two_sizes_of_section_is_bought_together(client: FlaskClient) -> None:
    done, bought = asked(client, "concert_programme", 1000)
    paper = bought["text/stock-coated_silk_130_g_m2-1"]
    assert paper["lines"] == [f"text/stock-coated_silk_130_g_m2-{n}" for n in (1, 2)]
    assert paper["amount"] == sum(done[f"text/make_ready-{n}"]["into"] for n in (1, 2))
    sections = [done[f"text/run-{n}"]["section"] for n in (1, 2)]
    assert sum(each["pages"] * each["times"] for each in sections) == 24
