"""The tables: aligned, whole, and no wider than the page."""

from __future__ import annotations

import json
from typing import Any

import pytest

from shop import EXAMPLES, clock
from sidelay.http.app import create_app
from sidelay.tables import comparison_text, estimate_text, problem_text


def choice(press="toner_a3", process="toner", net="30.80", **figures) -> dict[str, Any]:
    price = {"net": net, "per_piece": "0.308450", "run_on_per_1000": "1320.10"}
    return {
        "press": press,
        "process": process,
        "route": route(press, process),
        "price": price | {"same_price_to": None},
        "sheets": {"total": 1058},
        "hours": 1.256,
        "ratio_to_best": 1.0,
    } | figures


def route(press, process, part="letter") -> list[dict[str, str]]:
    return [{"part": part, "process": process, "press": press}]


def band(first, last, press, process) -> dict[str, Any]:
    where = {"press": press, "process": process, "route": route(press, process)}
    return {"from": first, "to": last, **where}


def finding(message="no station holds cyan", **members) -> dict[str, Any]:
    given = {"message": message, "asked": "cyan", "limit": "black", "unit": "", "remedy": ""}
    return given | members


def step(operation, machine="", **members) -> dict[str, Any]:
    given = {"operation": operation, "machine": machine, "bought_out": False, "into": 10, "out": 9}
    return given | {"set_up_min": 5.0, "run_min": 2.5, "lead_days": 0} | members


def part(name, press, process, *, total=10, hours=0.5, **members) -> dict[str, Any]:
    where = {"part": name, "press": press, "process": process, "split": ""}
    run = {"layout": {"because": "4 up"}, "sheets": {"total": total}, "hours": hours}
    return where | run | {"sections": [], "operations": [step("cut")]} | members


def estimate(quantity, parts, **members) -> dict[str, Any]:
    where = [way for each in parts for way in route(each["press"], each["process"], each["part"])]
    first = choice(parts[0]["press"], parts[0]["process"])
    own = {"quantity": quantity, "route": where, "parts": parts, "operations": []}
    return first | own | {"delivery": {"least": quantity, "most": quantity}} | members


def answer(**members: Any) -> dict[str, Any]:
    return {
        "title": "A letter",
        "plant": {"name": "Works", "currency": "EUR"},
        "binding": None,
        "findings": [],
        "quantities": [{"quantity": 1000, "choices": [choice()]}],
        "estimates": [],
        "bands": [],
        "crossovers": [],
        "excluded": [],
        "unavailable": [],
        "cautions": [],
    } | members


LITHO = {"part": "letter", "press": "litho_b1", "process": "sheetfed_litho"}
TONER = {"part": "letter", "press": "toner_a3", "process": "toner"}
ON_LITHO, ON_TONER = ("litho_b1", "sheetfed_litho"), ("toner_a3", "toner")


def test_a_comparison_reads_like_this():
    rows = [
        choice(),
        choice(*ON_LITHO, net="1132.06", ratio_to_best=36.7552, hours=0.261, sheets={"total": 36}),
    ]
    told = answer(
        quantities=[
            {"quantity": 100, "choices": rows},
            {"quantity": 20_000, "choices": [rows[0] | {"ratio_to_best": None}]},
        ],
        bands=[band(1, 1062, *ON_TONER), band(1063, 1_000_000, *ON_LITHO)],
        crossovers=[
            {
                "from_process": "toner",
                "to_process": "sheetfed_litho",
                "first_at": 1063,
                "settled_at": 1063,
            }
        ],
    )
    assert comparison_text(told).splitlines() == [
        "A letter",
        "Works. Prices in EUR, net of tax.",
        "",
        "Quantity  Press     Process            Price    Each  Sheets  Hours  Ratio",
        "--------  --------  --------------  --------  ------  ------  -----  -----",
        "     100  toner_a3  toner              30.80  0.3085   1,058   1.26   1.00",
        "          litho_b1  sheetfed_litho  1,132.06  0.3085      36   0.26  36.76",
        "",
        "  20,000  toner_a3  toner              30.80  0.3085   1,058   1.26      -",
        "",
        "The cheapest press",
        "  1 to 1,062          toner_a3, toner",
        "  1,063 to 1,000,000  litho_b1, sheetfed_litho",
        "",
        "Where processes cross",
        "  From 1,063 on sheetfed_litho is cheaper than toner, up to 1,000,000.",
    ]


def made(process, press, wins=(), **figures) -> dict[str, Any]:
    given = {"quantity": 2500, "press": press, "carriers": 4, "make_ready_min": 43.6}
    given |= {"rated_per_hour": 10_000.0, "net_per_hour": 6270.8, "dry_after_h": 24.965}
    bands = [{"from": first, "to": last} for first, last in wins]
    return {"process": process, "for_this_job": given | figures, "wins": bands}


def test_processes_that_can_make_the_job_read_like_this():
    toner = {"carriers": 0, "make_ready_min": 6.0, "rated_per_hour": None, "dry_after_h": 0.05}
    rows = [
        {"process": "flexo", "for_this_job": None, "wins": []},
        made("dod_inkjet", "inkjet_b2"),
        made("sheetfed_litho", "litho_b1", [(2_000, 3_000), (5_313, 100_000)]),
        made("toner", "toner_a3", [(1, 1_999)], **toner),
    ]
    told = comparison_text(answer(characteristics=rows)).splitlines()
    assert told[told.index("The processes at 2,500") :] == [
        "The processes at 2,500",
        "Process         Press      Carriers  Ready min  Rated/h  Net/h  Dry in h    Cheapest",
        "--------------  ---------  --------  ---------  -------  -----  --------  ----------",
        "dod_inkjet      inkjet_b2         4         44   10,000  6,271      25.0           -",
        "sheetfed_litho  litho_b1          4         44   10,000  6,271      25.0     2 bands",
        "toner           toner_a3          0          6        -  6,271       0.1  1 to 1,999",
    ]


def test_bands_of_a_process_are_never_cut_to_fit_the_page():
    names = "continuous_inkjet", "gravure_publication"
    row = made(*names, [(999_999_000, 1_000_000_000)], rated_per_hour=123_456.0)
    told = comparison_text(answer(characteristics=[row])).splitlines()[-1]
    assert told.endswith("  999,999,000 to 1,000,000,000")
    assert len(told) <= 100


def test_where_no_process_can_make_the_job_there_is_no_table_of_processes():
    row = {"process": "flexo", "for_this_job": None, "wins": []}
    assert "The processes" not in comparison_text(answer(characteristics=[row]))


def ready(at, **members) -> dict[str, Any]:
    """What a choice or an estimate tells of time."""
    return {"ready_at": f"{at}:00+00:00", "due": None, "overtime": None} | members


def due(slack_h) -> dict[str, Any]:
    return {"asked_at": "2026-11-26T12:00:00+00:00", "holds": slack_h >= 0, "slack_h": slack_h}


CLOCK = {"as_of": "2026-11-24T09:00:00+00:00", "given": False, "time_zone": "Europe/Dublin"}
IN_TIME = {"too_late": None, "earliest": None, "would_hold": []}


def test_when_it_is_ready_stands_beside_the_hours_where_that_is_told():
    choices = [choice(**ready("2026-12-01T15:40"))]
    asked = [{"quantity": 100, "choices": choices, "otherwise": IN_TIME}]
    told = answer(quantities=asked, ranked_by={"price": 1.0}, clock=CLOCK)
    assert comparison_text(told).splitlines()[2:] == [
        "Reckoned at Tue 24 Nov 2026 09:00 (Europe/Dublin), the time of the request.",
        "",
        "Quantity  Press     Process  Price    Each  Sheets  Hours            Ready  Ratio",
        "--------  --------  -------  -----  ------  ------  -----  ---------------  -----",
        "     100  toner_a3  toner    30.80  0.3085   1,058   1.26  Tue 1 Dec 15:40   1.00",
    ]
    # Older services tell no moments, and there is no such column.
    without = [{"quantity": 100, "choices": [*choices, choice(readiness={"working_days": 1.5})]}]
    assert "Ready" not in comparison_text(answer(quantities=without, clock=CLOCK))


def test_what_is_late_has_a_mark_and_a_due_date_its_block_and_bands():
    choices = [
        choice(**ready("2026-11-26T09:36", due=due(2.4))),
        choice(*ON_LITHO, **ready("2026-11-27T13:49", due=due(-25.8))),
    ]
    in_short = {"process": "toner", "press": "toner_a3", "net": "30.80", "currency": "EUR"}
    trade_off = [in_short | {"ready_at": each["ready_at"]} for each in choices]
    asked = {"quantity": 100, "choices": choices, "otherwise": IN_TIME, "trade_off": trade_off}
    due_bands = [
        band(1, 99, *ON_TONER),
        # Both are short, but nothing takes turns with nobody.
        band(100, 105, *ON_LITHO),
        {"from": 106, "to": 110, "press": None, "process": None, "route": []},
    ]
    told = answer(
        quantities=[asked], clock=CLOCK, bands=[band(1, 110, *ON_LITHO)], due_bands=due_bands
    )
    blocks = comparison_text(told).split("\n\n")
    assert [line.split()[-5:] for line in blocks[1].splitlines()[2:]] == [
        ["Thu", "26", "Nov", "09:36", "1.00"],
        ["Fri", "27", "Nov", "13:49*", "1.00"],
    ]
    assert blocks[2].splitlines() == [
        "Wanted by Thu 26 Nov 12:00. In the table, * is ready later.",
        "  100: in time by 2.4 h.",
    ]
    assert blocks[3].splitlines()[0] == "Cheaper or sooner"
    assert [block.splitlines() for block in blocks[4:6]] == [
        ["The cheapest press", "  1 to 110  litho_b1, sheetfed_litho"],
        [
            "The cheapest press in time",
            "  1 to 99     toner_a3, toner",
            "  100 to 105  litho_b1, sheetfed_litho",
            "  106 to 110  none is ready in time",
        ],
    ]


def test_bands_of_what_is_in_time_say_which_of_several_parts_they_are_of():
    both = [*route(*ON_TONER, "text"), *route(*ON_LITHO, "cover")]
    first = choice(route=both, **ready("2026-11-26T09:36", due=due(2.4)))
    asked = {"quantity": 100, "choices": [first], "otherwise": IN_TIME}
    due_bands = [band(1, 110, *ON_TONER)]
    text = comparison_text(answer(quantities=[asked], clock=CLOCK, due_bands=due_bands))
    assert "The cheapest press in time, of those for the text\n" in text


def test_where_the_table_is_too_wide_it_has_no_process_and_presses_whole():
    wide = choice(
        "inkjet_sheet_b2",
        "sheetfed_litho",
        net="316280.77",
        hours=4975.57,
        sheets={"total": 1_633_200},
        **ready("2027-06-15T11:04"),
    )
    asked = [{"quantity": 20_000, "choices": [wide], "otherwise": IN_TIME}]
    lines = comparison_text(answer(quantities=asked, clock=CLOCK)).splitlines()
    assert lines[4].split() == [
        "Quantity", "Press", "Price", "Each", "Sheets", "Hours", "Ready", "Ratio",
    ]  # fmt: skip
    assert lines[6].split()[1] == "inkjet_sheet_b2"
    assert max(map(len, lines)) <= 100
    # A short price leaves room for all.
    price = choice()["price"]
    fitting = [asked[0] | {"choices": [wide | {"price": price, "sheets": {"total": 9}}]}]
    assert "sheetfed_litho" in comparison_text(answer(quantities=fitting, clock=CLOCK))


@pytest.mark.parametrize(
    ("weights", "told"),
    [
        ({"price": 0.0, "cost": 1.0, "readiness": 0.0}, "Ranked by cost; the score is its ratio"),
        (
            {"price": 0.75, "cost": 0.0, "readiness": 0.25},
            "Ranked by 0.75 x price + 0.25 x readiness, each as its ratio to the best: the score.",
        ),
    ],
)
def test_it_says_how_the_choices_are_ranked_when_not_by_price(weights, told):
    rows = [
        choice(score=1.25, **ready("2026-11-24T21:00")),
        choice(*ON_LITHO, score=None, **ready("2026-11-27T09:00")),
    ]
    asked = [{"quantity": 100, "choices": rows, "otherwise": IN_TIME}]
    text = comparison_text(answer(quantities=asked, ranked_by=weights, clock=CLOCK)).splitlines()
    assert text[4].startswith(told)
    assert text[6].endswith("Hours             Ready  Score")
    assert text[8].endswith("1.26  Tue 24 Nov 21:00   1.25")
    assert text[9].endswith("1.26  Fri 27 Nov 09:00      -")


def test_nobody_is_ranked_by_nothing():
    nobody = answer(
        quantities=[{"quantity": 100, "choices": []}],
        ranked_by={"price": 0.0, "cost": 1.0, "readiness": 0.0},
    )
    assert "Ranked" not in comparison_text(nobody)


def test_an_estimate_reads_like_this():
    told = answer(estimates=[estimate(1000, [part("letter", *ON_TONER, total=58, hours=0.15)])])
    assert estimate_text(told).splitlines()[3:] == [
        "Quantity  Press     Process  Price    Each    +1,000  Sheets  Hours",
        "--------  --------  -------  -----  ------  --------  ------  -----",
        "   1,000  toner_a3  toner    30.80  0.3085  1,320.10      58   0.15",
    ]


def test_an_estimate_says_when_it_is_ready_and_how_that_stands_to_what_is_wanted():
    time = ready("2026-11-26T09:36", due=due(2.4), otherwise=IN_TIME)
    first = estimate(1000, [part("letter", *ON_TONER, total=58, hours=0.15)], **time)
    assert estimate_text(answer(estimates=[first], clock=CLOCK)).splitlines()[4:] == [
        "Quantity  Press     Process  Price    Each    +1,000  Sheets  Hours             Ready",
        "--------  --------  -------  -----  ------  --------  ------  -----  ----------------",
        "   1,000  toner_a3  toner    30.80  0.3085  1,320.10      58   0.15  Thu 26 Nov 09:36",
        "",
        "Wanted by Thu 26 Nov 12:00.",
        "  1,000: in time by 2.4 h.",
    ]


def test_one_row_a_quantity_needs_no_gaps():
    asked = [{"quantity": n, "choices": [choice()]} for n in (1, 2, 3)]
    assert "" not in comparison_text(answer(quantities=asked)).splitlines()[3:]


@pytest.mark.parametrize(
    ("settled_at", "told"),
    [
        (50, "From 50 on b is cheaper than a, up to 900."),
        (70, "b first becomes cheaper than a at 50, and stays so from 70 up to 900."),
        (None, "b first becomes cheaper than a at 50, but a wins again later."),
    ],
)
def test_crossovers_are_told_in_words(settled_at, told):
    swap = {"from_process": "a", "to_process": "b", "first_at": 50, "settled_at": settled_at}
    bands = [band(1, 900, *ON_LITHO)]
    assert f"  {told}" in comparison_text(answer(bands=bands, crossovers=[swap])).splitlines()


def test_money_without_cents_has_two_decimals_for_a_piece():
    yen = choice(net="1234567", price=None) | {
        "price": {
            "net": "1234567",
            "per_piece": "12.3456",
            "run_on_per_1000": "1",
            "same_price_to": None,
        }
    }
    row = comparison_text(answer(quantities=[{"quantity": 1000, "choices": [yen]}]))
    assert "1,234,567  12.35" in row


def test_findings_that_one_remedy_helps_stand_together():
    cyan, magenta = "no station holds cyan", "no station holds magenta"
    found = [
        finding(cyan, remedy="use another press"),
        finding(magenta, asked="magenta", limit="", remedy="use another press"),
        finding(cyan, remedy="use another press"),
        finding("the sheet is too large", asked="", limit=None, remedy=""),
        finding("too heavy", asked=400, limit=300, unit="g/m2", remedy="take a lighter stock"),
    ]
    text = comparison_text(answer(excluded=[{**TONER, "findings": found}]))
    assert text.split("\n\n")[-1].splitlines() == [
        "Presses that cannot print it, and what would help",
        "  toner_a3, toner",
        f"    {cyan.capitalize()} (asked cyan, limit black); {magenta} (asked magenta). Use",
        "    another press.",
        "    The sheet is too large.",
        "    Too heavy (asked 400, limit 300 g/m2). Take a lighter stock.",
    ]


def test_cautions_stand_by_press_and_once():
    one = {**LITHO, **finding("register may wander", remedy="use 2 inks a side")}
    text = estimate_text(answer(cautions=[one, one, {**TONER, **finding("slow")}]))
    assert text.split("\n\n")[-1].splitlines() == [
        "Cautions",
        "  litho_b1, sheetfed_litho",
        "    Register may wander (asked cyan, limit black). Use 2 inks a side.",
        "  toner_a3, toner",
        "    Slow (asked cyan, limit black).",
    ]


def test_presses_that_share_their_findings_are_named_together():
    sheets = finding("delivers sheets", asked="", limit="", remedy="use another press")
    excluded = [
        {**TONER, "findings": [sheets]},
        TONER | {"press": "toner_b4", "findings": [finding("too slow")]},
        {**LITHO, "findings": [sheets]},
    ]
    assert comparison_text(answer(excluded=excluded)).split("\n\n")[-1].splitlines() == [
        "Presses that cannot print it, and what would help",
        "  toner_a3, toner; litho_b1, sheetfed_litho",
        "    Delivers sheets. Use another press.",
        "  toner_b4, toner",
        "    Too slow (asked cyan, limit black).",
    ]


def test_a_change_that_would_let_a_press_in_stands_behind_what_keeps_it_out():
    excluded = [{**LITHO, "findings": [finding("is too fine", remedy="take a coarser ruling")]}]
    excluded.append({**TONER, "findings": [finding("is too large")]})
    remedies = [
        {**LITHO, "changes": [{"name": "ruling_lpi"}], "message": "at 100 lpi it would do"},
        {**TONER, "changes": None, "message": "no change would help"},
    ]
    text = comparison_text(answer(excluded=excluded, remedies=remedies))
    assert text.split("\n\n")[-1].splitlines() == [
        "Presses that cannot print it, and what would help",
        "  litho_b1, sheetfed_litho",
        "    Is too fine (asked cyan, limit black). Take a coarser ruling.",
        "    At 100 lpi it would do.",
        "  toner_a3, toner",
        "    Is too large (asked cyan, limit black).",
    ]


def test_what_can_hurt_someone_is_told_for_each_process():
    safety = [{"process": "toner", "cautions": ["The fuser is hot.", "Toner is a dust."]}]
    assert estimate_text(answer(safety=safety)).split("\n\n")[-1].splitlines() == [
        "Safety: local codes and licensed practice come first",
        "  toner",
        "    The fuser is hot.",
        "    Toner is a dust.",
    ]


def test_operations_that_share_a_caution_stand_together_and_what_holds_for_all_comes_last():
    finishing = [
        {"operation": "cut", "cautions": ["The knife cuts.", "Lock it out."]},
        {"operation": "fold", "cautions": ["Rollers draw in.", "Lock it out."]},
        {"operation": "saddle_stitch", "cautions": ["The knife cuts.", "Lock it out."]},
    ]
    assert estimate_text(answer(safety_finishing=finishing)).split("\n\n")[-1].splitlines() == [
        "Safety in finishing and binding",
        "  cut, saddle stitch",
        "    The knife cuts.",
        "  fold",
        "    Rollers draw in.",
        "  cut, fold, saddle stitch",
        "    Lock it out.",
    ]


def test_a_press_whose_plug_in_failed_is_named_with_its_reference():
    text = estimate_text(answer(unavailable=[{**TONER, "reference": "a1b2"}]))
    assert "  toner_a3, toner: see a1b2 in the log." in text.splitlines()
    assert "No press of this plant can print this job." in text


def test_no_line_is_wider_than_the_page():
    long = choice("press_" * 12, "process_" * 9, net="98765432101234.56", hours=123456.7)
    told = answer(
        title="word " * 60,
        quantities=[{"quantity": 100_000_000, "choices": [long]}],
        excluded=[{**TONER, "findings": [finding("much is wrong " * 20)]}],
    )
    lines = comparison_text(told).splitlines()
    assert max(map(len, lines)) == 100
    row = next(line for line in lines if "100,000,000" in line)
    assert "  press_press..  process_proc..  " in row
    assert "98,765,432,101,234.56" in row


def test_a_problem_without_faults_is_one_line():
    assert problem_text("Not found", "", ()) == "Not found."
    assert problem_text("Not found.", "No such path.", ()) == "Not found. No such path."


def test_a_fault_of_a_query_parameter_names_it():
    fault = {"pointer": "#", "parameter": "chart", "code": "unknown_value", "detail": "Expected."}
    assert problem_text("No", "", [fault]).splitlines()[1] == "?chart: Expected."


def test_short_bands_side_by_side_are_told_as_taking_turns() -> None:
    ends = [2_000, 2_010, 2_020, 2_050, 1_000_000]
    starts = [1, *(end + 1 for end in ends[:-1])]
    turns = [ON_TONER, ON_LITHO, ON_TONER, ON_LITHO, ("litho_large", "sheetfed_litho")]
    bands = [
        band(first, last, *press)
        for first, last, press in zip(starts, ends, turns, strict=True)
    ]
    lines = comparison_text(answer(bands=bands)).splitlines()
    start = lines.index("The cheapest press")
    assert [line.split("  ")[1].strip() for line in lines[start + 1 : start + 4]] == [
        "1 to 2,000",
        "2,001 to 2,050",
        "2,051 to 1,000,000",
    ]
    assert "take turns, 3 bands" in lines[start + 2]


# ---------------------------------------------------------------- whole jobs


BOOK = {
    "method": "perfect_bind",
    "edge": "left",
    "pages": 300,
    "block_mm": 19.2,
    "spine_mm": 19.876,
    "cover_flat_mm": [278.18, 198],
    "creep_mm": 0,
    "copy_kg": 0.32012,
    "binders": [{"name": "Binder of the house", "bought_out": False, "lead_days": 0}],
}
OUT = {"name": "Trade binder", "bought_out": True, "lead_days": 12.0}
CUT_COVER = [step("laminate", "laminate_matt", set_up_min=15.0, run_min=8.6), step("cut")]


def book_offer(quantity=500, **members):
    parts = [
        part("text", *ON_TONER, total=5370, hours=1.017, split="a copy page after page"),
        part("cover", *ON_LITHO, total=540, hours=0.35, operations=CUT_COVER),
    ]
    bind = step("perfect_bind", "house", into=525, out=500, run_min=15.8)
    return estimate(quantity, parts, operations=[bind]) | members


def test_a_book_reads_like_this():
    told = answer(
        binding=BOOK,
        estimates=[book_offer(delivery={"least": 450, "most": 550})],
    )
    assert estimate_text(told).splitlines()[1:] == [
        "Works. Prices in EUR, net of tax.",
        "Perfect bind, left edge: 300 pages, block 19.2 mm, spine 19.9 mm, cover 278.18 x 198 mm "
        "flat, 0.320",
        "kg a copy. Bound by Binder of the house.",
        "",
        "Quantity  Press     Process  Price    Each    +1,000  Sheets  Hours",
        "--------  --------  -------  -----  ------  --------  ------  -----",
        "     500  toner_a3  toner    30.80  0.3085  1,320.10   5,910   1.37",
        "",
        "Copies delivered: 450 to 550 for 500.",
        "",
        "The parts",
        "Quantity  Part   Press     Process         Sheets  Hours  How it lies",
        "--------  -----  --------  --------------  ------  -----  ----------------------",
        "     500  text   toner_a3  toner            5,370   1.02  a copy page after page",
        "          cover  litho_b1  sheetfed_litho     540   0.35  4 up",
        "",
        "Finishing, binding and packing",
        "Quantity  Of      Operation     By              In  Out  Minutes  Days",
        "--------  ------  ------------  -------------  ---  ---  -------  ----",
        "     500  text    cut                           10    9        8",
        "          cover   laminate      laminate_matt   10    9       24",
        "          cover   cut                           10    9        8",
        "          copies  perfect bind  house          525  500       21",
    ]


def test_who_binds_is_told_with_the_days_a_trade_binder_takes():
    text = estimate_text(answer(binding=BOOK | {"binders": [*BOOK["binders"], OUT]}))
    assert (
        "Bound by Binder of the house or Trade binder (back in 12 working days), whichever is the"
        in " ".join(text.split())
    )


def test_a_stitched_book_has_creep_and_no_spine():
    book = BOOK | {"method": "saddle_stitch", "creep_mm": 1.93}
    text = " ".join(estimate_text(answer(binding=book)).split())
    assert "creep 1.9 mm" in text
    assert "spine" not in text


def test_steps_of_several_sections_are_added_up_and_outwork_has_days():
    fold = step("fold", into=100, out=90)
    out = step("varnish", "trade", bought_out=True, lead_days=4)
    both = part("text", *ON_LITHO, operations=[fold, out, fold])
    text = estimate_text(answer(estimates=[estimate(50, [both])]))
    rows = [line.split() for line in text.splitlines() if " text " in line]
    assert ["50", "text", "fold", "200", "180", "15"] in rows
    assert ["text", "varnish", "trade", "10", "9", "-", "4"] in rows


def test_a_part_that_goes_through_two_presses_has_a_row_for_each():
    runs = [
        {"press": press, "process": process, "layout": {"because": "2 up"}}
        | {"sheets": {"total": 20}, "hours": 0.1}
        for press, process in (ON_LITHO, ON_TONER)
    ]
    shell = part("letter", *ON_TONER, sections=runs)
    text = estimate_text(answer(binding=BOOK, estimates=[estimate(50, [shell])]))
    rows = [line.split() for line in text.splitlines() if line.endswith("2 up")]
    assert [row[-6] for row in rows] == ["litho_b1", "toner_a3"]


def test_what_costs_the_same_is_told():
    offer = book_offer(price=choice()["price"] | {"same_price_to": 520})
    text = estimate_text(answer(binding=BOOK, estimates=[offer]))
    assert "Up to 520 cost what 500 do." in text


def test_a_comparison_of_several_parts_says_what_its_rows_are_of():
    first = choice(route=[*route(*ON_TONER, "text"), *route(*ON_LITHO, "cover")])
    bands = [
        band(1, 99, *ON_TONER) | {"route": first["route"]},
        band(100, 900, *ON_LITHO)
        | {"route": [*route(*ON_LITHO, "text"), *route(*ON_LITHO, "cover")]},
    ]
    asked = [{"quantity": 10, "choices": [first]}]
    text = comparison_text(answer(quantities=asked, bands=bands))
    assert "Each row is a press for the text, with its sheets and hours. The cover goes" in text
    lines = text.splitlines()
    assert "  1 to 99     text on toner_a3; cover on litho_b1" in lines
    assert "  100 to 900  all parts on litho_b1" in lines


def test_what_binding_cannot_do_stands_before_everything():
    limit = finding("too thin", asked=2.56, limit=3.0, unit="mm", remedy="use more pages")
    caution = finding("sheets creep", remedy="keep margins wide", severity="caution")
    found = [limit | {"severity": "limit"}, caution]
    blocks = estimate_text(answer(binding=BOOK, findings=found)).split("\n\n")
    assert blocks[1].splitlines() == [
        "What stands against binding, finishing or packing it, and what would help",
        "  Too thin (asked 2.56, limit 3.0 mm). Use more pages.",
    ]
    assert blocks[2] == "This plant cannot bind, finish or pack this job as asked."
    assert blocks[3].splitlines()[0] == "What to know about binding, finishing and packing it"
    assert "Asked of Binder of the house." in blocks[0]


def test_the_part_that_no_press_prints_is_named():
    cover = {"part": "cover", "findings": [finding("too heavy")]}
    excluded = [
        TONER | {"part": "text", "findings": [finding()]},
        TONER | cover,
        LITHO | cover,
    ]
    blocks = estimate_text(answer(excluded=excluded)).split("\n\n")
    assert blocks[1] == "No press of this plant can print the cover."
    assert blocks[2].splitlines()[0] == "Presses that cannot print the text, and what would help"
    assert blocks[3].splitlines()[:2] == [
        "Presses that cannot print the cover, and what would help",
        "  toner_a3, toner; litho_b1, sheetfed_litho",
    ]


@pytest.fixture(scope="module")
def client():
    return create_app(clock=clock).test_client()


@pytest.mark.parametrize("file", sorted(EXAMPLES.glob("*.json")), ids=lambda file: file.stem)
def test_every_example_can_be_read_and_keeps_to_the_page(client, file):
    body = json.loads(file.read_text())
    names = [part.get("name", "part 1") for part in body["job"]["parts"]]
    for path, write in (("/estimate", estimate_text), ("/compare", comparison_text)):
        text = write(client.post(path, json=body).get_json())
        assert max(map(len, text.splitlines())) <= 100
        if len(names) > 1:
            assert [name for name in names if name not in text] == []


def hinge(factor, below=None, above=None) -> dict[str, Any]:
    return {"factor": factor, "below": below, "above": above}


def flip(times, process, *figures) -> dict[str, Any]:
    told = [
        dict(zip(("press", "now", "then", "unit"), figure, strict=True)) for figure in figures
    ]
    return {"times": times, "process": process, "press": "other", "figures": told}


def hanging(hinges, leaning=(), part="flyer") -> dict[str, Any]:
    asked = {"quantity": 1200, "part": part, "process": "toner", "press": "toner_a3"}
    factors = [{"factor": name, "elasticity": value} for name, value in leaning]
    crossover = {"from_process": "toner", "to_process": "flexo", "first_at": 5313}
    return {
        "crossovers": [{"part": part, **crossover, "factors": factors}] if leaning else [],
        "answers": [asked | {"factors": hinges}],
    }


def test_what_a_comparison_hangs_on_reads_like_this():
    leaning = [("waste", 0.004), ("click_charge", -0.576), ("make_ready_time", 0.22)]
    leaning += [("stock_price", None)]
    click = flip(2.7427, "flexo", ("toner_a3", 0.038, 0.104223, "EUR/{click}"))
    speed = flip(0.5, "", ("toner_a3", 8032.4, 4016.2, "{cycle}/h"))
    hinges = [hinge("click_charge", above=click), hinge("running_speed", below=speed)]
    told = comparison_text(answer(hangs_on=hanging(hinges, leaning))).splitlines()
    start = told.index("What the crossovers hang on: % that one moves for 1 % of a figure")
    assert told[start + 1 :] == [
        "  toner to flexo at 5,313: click charge -0.58, make-ready time +0.22.",
        "",
        "What would change the answer, all else as it is",
        "  1,200: toner; no process at 0.5 times the running speed (toner_a3 8,032 to 4,016 "
        "cycle/h); flexo",
        "  at 2.743 times the click charge (toner_a3 0.038 to 0.1042 EUR/click).",
    ]


def test_an_answer_that_nothing_changes_says_so():
    told = comparison_text(answer(hangs_on=hanging([hinge("waste")]))).splitlines()
    assert told[-1] == (
        "  1,200: toner, whatever single figure is changed between a tenth and ten times."
    )


def test_crossovers_of_several_parts_name_the_part():
    route = [
        {"part": "text", "process": "toner", "press": "toner_a3"},
        {"part": "cover", "process": "toner", "press": "toner_a3"},
    ]
    bands = [{"from": 1, "to": 9, "process": "toner", "press": "toner_a3", "route": route}]
    swap = {"part": "cover", "from_process": "toner", "to_process": "flexo", "first_at": 5}
    told = comparison_text(answer(bands=bands, crossovers=[swap | {"settled_at": 5}]))
    assert "  cover: From 5 on flexo is cheaper than toner, up to 9." in told.splitlines()


def test_bands_by_cost_stand_behind_those_by_price_where_they_are_asked_for():
    by_price = [band(1, 442, "toner_a3", "toner"), band(443, 1_000, "litho_b1", "sheetfed_litho")]
    by_cost = [band(1, 438, "toner_a3", "toner"), band(439, 1_000, "litho_b1", "sheetfed_litho")]
    told = comparison_text(answer(bands=by_price, cost_bands=by_cost)).split("\n\n")
    at = told.index(
        "The cheapest press\n  1 to 442      toner_a3, toner\n"
        "  443 to 1,000  litho_b1, sheetfed_litho"
    )
    assert told[at + 1].splitlines() == [
        "The press that costs the plant least",
        "  1 to 438      toner_a3, toner",
        "  439 to 1,000  litho_b1, sheetfed_litho",
    ]
    assert "costs the plant" not in comparison_text(answer(bands=by_price))


def test_the_table_of_processes_says_which_of_several_parts_it_is_of():
    ways = [*route("toner_a3", "toner", "text"), *route("toner_a3", "toner", "cover")]
    asked = [{"quantity": 2_500, "choices": [choice(route=ways)]}]
    rows = [made("toner", "toner_a3")]
    told = comparison_text(answer(quantities=asked, characteristics=rows)).splitlines()
    assert "The processes for the text at 2,500" in told


def test_a_share_is_told_in_per_cent():
    waste = flip(7.68, "flexo", ("toner_a3", 0.01046, 0.0803, "1"))
    told = comparison_text(answer(hangs_on=hanging([hinge("waste", above=waste)])))
    assert "7.68 times the waste (toner_a3 1.046 to 8.03 %)." in told


def test_a_price_after_a_change_is_said_to_be_of_another_job():
    excluded = [{**LITHO, "findings": [finding("is too fine")]}]
    remedy = {**LITHO, "changes": [{"name": "stock"}], "message": "on other paper it would do"}
    priced = comparison_text(answer(excluded=excluded, remedies=[remedy | {"prices": [{}]}]))
    assert "another press may do that one for less" in " ".join(priced.split())
    unpriced = comparison_text(answer(excluded=excluded, remedies=[remedy | {"prices": []}]))
    assert "another press" not in unpriced


def test_an_answer_of_one_of_several_parts_begins_with_a_capital():
    found = hanging([hinge("waste")], part="text")
    found["answers"] += hanging([hinge("waste")], part="cover")["answers"]
    told = comparison_text(answer(hangs_on=found)).splitlines()
    assert [line.split(",")[0] for line in told[-2:]] == ["  Text", "  Cover"]
