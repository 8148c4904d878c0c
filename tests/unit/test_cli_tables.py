"""The tables: aligned, whole, and no wider than the page."""

from __future__ import annotations

from typing import Any

import pytest

from sidelay.tables import comparison_text, estimate_text, problem_text


def choice(press="toner_a3", process="toner", net="30.80", **figures) -> dict[str, Any]:
    return {
        "press": press,
        "process": process,
        "price": {"net": net, "per_piece": "0.308450", "run_on_per_1000": "1320.10"},
        "sheets": {"total": 1058},
        "hours": 1.256,
        "ratio_to_best": 1.0,
    } | figures


def finding(message="no station holds cyan", **members) -> dict[str, Any]:
    given = {"message": message, "asked": "cyan", "limit": "black", "unit": "", "remedy": ""}
    return given | members


def answer(**members: Any) -> dict[str, Any]:
    return {
        "title": "A letter",
        "plant": {"name": "Works", "currency": "EUR"},
        "quantities": [{"quantity": 1000, "choices": [choice()]}],
        "estimates": [],
        "bands": [],
        "crossovers": [],
        "excluded": [],
        "unavailable": [],
        "cautions": [],
    } | members


LITHO = {"press": "litho_b1", "process": "sheetfed_litho"}
TONER = {"press": "toner_a3", "process": "toner"}


def test_a_comparison_reads_like_this():
    rows = [
        choice(),
        choice(**LITHO, net="1132.06", ratio_to_best=36.7552, hours=0.261, sheets={"total": 36}),
    ]
    told = answer(
        quantities=[
            {"quantity": 100, "choices": rows},
            {"quantity": 20_000, "choices": [rows[0] | {"ratio_to_best": None}]},
        ],
        bands=[{"from": 1, "to": 1062, **TONER}, {"from": 1063, "to": 1_000_000, **LITHO}],
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


def test_an_estimate_reads_like_this():
    parts = [{"sheets": {"total": 58}, "hours": 0.15}]
    told = answer(estimates=[{"quantity": 1000, **choice(), "parts": parts}])
    assert estimate_text(told).splitlines()[3:] == [
        "Quantity  Press     Process  Price    Each  Run-on 1,000  Sheets  Hours",
        "--------  --------  -------  -----  ------  ------------  ------  -----",
        "   1,000  toner_a3  toner    30.80  0.3085      1,320.10      58   0.15",
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
    bands = [{"from": 1, "to": 900, **LITHO}]
    assert f"  {told}" in comparison_text(answer(bands=bands, crossovers=[swap])).splitlines()


def test_money_without_cents_has_two_decimals_for_a_piece():
    yen = choice(net="1234567", price=None) | {
        "price": {"net": "1234567", "per_piece": "12.3456", "run_on_per_1000": "1"}
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
        {"press": "toner_b4", "process": "toner", "findings": [finding("too slow")]},
        {**LITHO, "findings": [sheets]},
    ]
    assert comparison_text(answer(excluded=excluded)).split("\n\n")[-1].splitlines() == [
        "Presses that cannot print it, and what would help",
        "  toner_a3, toner; litho_b1, sheetfed_litho",
        "    Delivers sheets. Use another press.",
        "  toner_b4, toner",
        "    Too slow (asked cyan, limit black).",
    ]


def test_what_can_hurt_someone_is_told_for_each_process():
    safety = [{"process": "toner", "cautions": ["The fuser is hot.", "Toner is a dust."]}]
    assert estimate_text(answer(safety=safety)).split("\n\n")[-1].splitlines() == [
        "Safety: local codes and licensed practice come first",
        "  toner",
        "    The fuser is hot.",
        "    Toner is a dust.",
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


def test_short_bands_side_by_side_are_told_as_taking_turns() -> None:
    ends = [2_000, 2_010, 2_020, 2_050, 1_000_000]
    starts = [1, *(end + 1 for end in ends[:-1])]
    turns = [TONER, LITHO, TONER, LITHO, LITHO | {"press": "litho_large"}]
    bands = [
        {"from": first, "to": last, **press}
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
