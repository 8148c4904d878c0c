"""Adapters for spoilage and overs."""

from reference.given import Inputs, share
from reference.register import Figures, answers
from sidelay import paper_reams, spoilage


@answers("spoilage.book_reams")
def book_reams(inputs: Inputs) -> Figures:
    pages, per_sheet = inputs["pages"], inputs["pages_per_sheet"]
    sheets = spoilage.edition_sheets(inputs["copies"], pages, per_sheet)
    return {
        "reams": paper_reams.reams(sheets, ream_sheets=inputs["ream_sheets"]),
        "sheets_per_copy": spoilage.sheets_per_copy(pages, per_sheet),
    }


@answers("spoilage.giving_out")
def giving_out(inputs: Inputs) -> Figures:
    quires, odd = inputs["quires_given"], inputs.get("odd_sheets", 0)
    sheets = paper_reams.sheets_counted(0, quires, odd, ream_sheets=20 * inputs["quire_sheets"])
    overs = spoilage.overs_share(sheets, inputs["even_number"])
    return {"sheets_given": sheets, "overs_pct": 100 * overs}


@answers("spoilage.student_1854")
def student_1854(inputs: Inputs) -> Figures:
    ream = 20 * inputs["quire_sheets"]
    sheets = paper_reams.sheets_counted(0, inputs["quires_per_form"], 0, ream_sheets=ream)
    up = 2 if inputs["printed"].startswith("half-sheet") else 1
    net = spoilage.sheets_for_copies(inputs["copies"], up)
    return {"sheets": sheets, "overs_pct": 100 * spoilage.overs_share(sheets, net)}


@answers("spoilage.press_sheets")
def press_sheets(inputs: Inputs) -> Figures:
    pages, per_sheet = inputs["pages"], inputs["pages_per_sheet_both_sides"]
    net = spoilage.edition_sheets(inputs["copies"], pages, per_sheet)
    return {
        "sheets_per_copy": spoilage.sheets_per_copy(pages, per_sheet),
        "gross_sheets": spoilage.gross_sheets(net, running_share=share(inputs, "overs")),
    }


@answers("spoilage.fold_overs")
def fold_overs(inputs: Inputs) -> Figures:
    net = spoilage.sheets_for_copies(inputs["copies"], inputs["up"])
    return {"sheets": spoilage.gross_sheets(net, running_share=share(inputs, "fold_overs"))}


@answers("spoilage.public_estimate_form")
def public_estimate_form(inputs: Inputs) -> Figures:
    leaves = inputs["leaves_per_book"], inputs["leaves_per_parent"]
    net = spoilage.edition_sheets(inputs["books"], *leaves)
    press, bind = share(inputs, "press_spoil"), share(inputs, "bind_spoil")
    return {
        "net_sheets": net,
        "press_spoil": spoilage.spoiled_sheets(net, press),
        "bind_spoil": spoilage.spoiled_sheets(net, bind),
        "gross_sheets": spoilage.gross_sheets(net, running_share=press + bind),
    }


@answers("spoilage.two_part_model")
def two_part_model(inputs: Inputs) -> Figures:
    gross = spoilage.gross_sheets(
        inputs["net_sheets"],
        set_up_sheets=inputs["makeready_sheets"],
        running_share=share(inputs, "running_waste"),
    )
    return {"gross_sheets": gross}


@answers("spoilage.rule_of_thumb")
def rule_of_thumb(inputs: Inputs) -> Figures:
    least = inputs.get("min_sheets", 0)
    overs = spoilage.spoiled_sheets(inputs["deliver"], inputs["pct"] / 100, at_least=least)
    return {"overs": overs}


@answers("spoilage.overrun_payment")
def overrun_payment(inputs: Inputs) -> Figures:
    accepted = spoilage.most_copies_accepted(inputs["quantity"], share(inputs, "overrun_accept"))
    return {"max_copies_accepted": accepted}
