"""An XJDF document with its production filled in: who makes it, when, on what, and how much."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..schedule import Schedule
from ..work import Process
from .intent_documents import Intent, Json, comment, listed, root_product, set_of
from .moments import moment_text

HOUR_S = 3600
# Operations are scheduled in thousandths of an hour: durations are told no finer than that.
STEP_S = 10
POINTS_PER_MM = 72 / 25.4
# Names of the standard for how the second side is printed.
WORK_STYLES: Mapping[str, str] = {
    "one_side": "Simplex",
    "sheetwise": "WorkAndBack",
    "work_and_turn": "WorkAndTurn",
    "work_and_tumble": "WorkAndTumble",
    "perfecting": "Perfecting",
}
# Names that the standard has for printing from image carriers and without (from memory).
CONVENTIONAL, DIGITAL = "ConventionalPrinting", "DigitalPrinting"
# What takes a press: its second side is run apart where sheets have to dry before.
_CLOCKED = ("make_ready", "run", "backing_up", "wash_up")


def priced_product(
    intent: Intent,
    offer: Mapping[str, Any],
    schedule: Schedule,
    processes: Mapping[str, Process],
    zone: str,
) -> Json:
    """Return the document with the production of one offer.

    offer: a member of `estimates`, as its caller may see it; it has no money that gets in here
    zone: time zone that moments are told in
    """
    parts = offer["parts"]
    document = intent.at(offer["quantity"])
    intent.made_by(document, [processes[part["process"]].standard_token for part in parts])
    made = dict.fromkeys(CONVENTIONAL if _carried(part) else DIGITAL for part in parts)
    document["Types"] = list(dict.fromkeys([*document["Types"], *made]))
    _keep_due(document)
    set_of(document, "NodeInfo", "Input", [{"NodeInfo": _node(offer, schedule, zone)}])
    styles = [
        _named(part, {"ConventionalPrintingParams": {"WorkStyle": _style(part)}})
        for part in parts
        if _carried(part)
    ]
    if styles:
        set_of(document, "ConventionalPrintingParams", "Input", styles)
    kind = _media_type(root_product(document))
    set_of(document, "Media", "Input", [_media(part, kind) for part in parts])
    set_of(document, "Component", "Output", [_component(part) for part in parts])
    return document


def unpriced_product(intent: Intent, quantity: int, reasons: Sequence[str]) -> Json:
    """Return the document of a job that no press can print, with the reasons as comments."""
    document = intent.at(quantity)
    comment(document, reasons)
    return document


def reasons_of(answer: Mapping[str, Any]) -> list[str]:
    """Return why no press can print a job, a sentence each."""
    limits = [each["message"] for each in answer["findings"] if each["severity"] == "limit"]
    presses = [
        f"{press['press']}, {press['part']}: {each['message']}"
        for press in answer["excluded"]
        for each in press["findings"]
    ]
    failed = [f"{each['press']}: not available now." for each in answer["unavailable"]]
    return ["No press of this plant can print this job.", *limits, *presses, *failed]


def duration_text(seconds: int) -> str:
    """Return a duration as ISO 8601 writes it, in hours, minutes and seconds."""
    hours, rest = divmod(seconds, HOUR_S)
    named = zip((hours, *divmod(rest, 60)), "HMS", strict=True)
    return "PT" + ("".join(f"{figure}{name}" for figure, name in named if figure) or "0S")


def _duration(hours: float) -> str:
    return duration_text(round(hours * HOUR_S / STEP_S) * STEP_S)


def _carried(part: Mapping[str, Any]) -> bool:
    """Whether a part is printed from image carriers."""
    return bool(part["layout"]["forms"])


def _style(part: Mapping[str, Any]) -> str:
    return WORK_STYLES[part["layout"]["work_style"]]


def _node(offer: Mapping[str, Any], schedule: Schedule, zone: str) -> Json:
    """Return start and end of all work, and how long presses take of it."""
    hours = dict.fromkeys(_CLOCKED, 0.0)
    for each in schedule.operations:
        if each.operation in hours and each.clock == "shift":
            hours[each.operation] += each.duration
    begun = min((each.start_at for each in schedule.operations), default=None)
    return {
        **({} if begun is None else {"Start": moment_text(begun, zone)}),
        **({} if offer["ready_at"] is None else {"End": offer["ready_at"]}),
        "SetupDuration": _duration(hours["make_ready"]),
        "TotalDuration": _duration(sum(hours.values())),
        "CleanupDuration": _duration(hours["wash_up"]),
    }


def _keep_due(document: Json) -> None:
    """Move a due date that was told as the end of all work: the end is now that of the plan."""
    sets = listed(document.get("ResourceSet"))
    told = [_due_of(each, "DeliveryParams", "Required") for each in sets]
    ends = [end for each in sets if (end := _due_of(each, "NodeInfo", "End"))]
    if ends and not any(told):
        due = {"DeliveryParams": {"Required": ends[0]}}
        document["ResourceSet"] = [*sets, _input("DeliveryParams", due)]


def _input(name: str, resource: Json) -> Json:
    return {"Name": name, "Usage": "Input", "Resource": [resource]}


def _due_of(found: Any, name: str, member: str) -> Any:
    """Return a member of the first resource of a set of a name; None where there is none."""
    if not isinstance(found, dict) or found.get("Name") != name:
        return None
    for resource in listed(found.get("Resource")):
        inner = resource.get(name) if isinstance(resource, dict) else None
        if isinstance(inner, dict) and inner.get(member) is not None:
            return inner[member]
    return None


def _named(part: Mapping[str, Any], resource: Json) -> Json:
    return {"DescriptiveName": part["part"], **resource}


def _media_type(product: Mapping[str, Any]) -> str:
    for intent in listed(product.get("Intent")):
        if isinstance(intent, dict) and intent.get("Name") == "MediaIntent":
            return str(intent["MediaIntent"]["MediaType"])
    return "Paper"


def _media(part: Mapping[str, Any], kind: str) -> Json:
    """Return the stock of a part: sheets bought for it, where they are sheets."""
    stock, sheet = part["stock"], part["layout"]["parent_sheet_mm"]
    media: Json = {"MediaType": kind}
    if stock["grammage_gsm"]:
        media["Weight"] = stock["grammage_gsm"]
    media["Thickness"] = stock["caliper_um"]
    if sheet:
        media["Dimension"] = [round(side_mm * POINTS_PER_MM, 2) for side_mm in sheet]
    resource: Json = {"DescriptiveName": stock["name"], "ExternalID": stock["id"]}
    parents = part["sheets"]["parents"]
    if parents is not None:
        resource["AmountPool"] = {"PartAmount": [{"Amount": parents}]}
    return {**resource, "Media": media}


def _component(part: Mapping[str, Any]) -> Json:
    """Return what leaves the press: cycles of it that are good, and those that are spoiled."""
    sheets = part["sheets"]
    waste = sheets["make_ready"] + sheets["running_waste"]
    amount = {"Amount": sheets["good"], "Waste": waste}
    return _named(part, {"AmountPool": {"PartAmount": [amount]}, "Component": {}})
