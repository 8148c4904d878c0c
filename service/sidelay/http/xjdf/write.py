"""From a request's job to a document of product intent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ...stock import Stock
from ...work import Process
from .notes import Ignored, Node, Notes
from .points import exact
from .words import EDGES, METHODS, PROCESSES_RANKED, UNBOUND
from .write_operations import COPY_OPERATIONS, write_operations
from .write_part import Intent, wrapped, write_part

VERSION = "2.2"
_NOT_SAID = {"": "Product intent has no word for it here."}
_TRANSFERS = {"deliver": "PrinterToBuyerDeliver", "collect": "PrinterToBuyerPickup"}
_SIDES = {edge: side for side, edge in reversed(list(EDGES.items()))}
_TYPES = {method: word for word, method in reversed(list(METHODS.items()))}
_DEFAULTS: Mapping[str, Any] = {
    "title": "",
    "overs_share": 0,
    "rush": False,
    "drying_aid": False,
    "quality": "commercial",
    "proof": "none",
    "uses": [],
    "previous": [],
    "operations": [],
}


def write_product(
    body: Mapping[str, Any],
    processes: Mapping[str, Process],
    stocks: Mapping[str, Stock],
    *,
    quantity: int | None = None,
    job_id: str = "job",
) -> tuple[dict[str, Any], tuple[Ignored, ...]]:
    """Return a request's job as an XJDF document, and what of it a document cannot say.

    Of other members of a request, processes and rank_by are written; the rest is not looked at.
    body: one that the request schema takes
    processes: by id, for PrintProcess; stocks: those of the plant by id, to tell what they are
    quantity: the one that the document is about; None for the job's first
    job_id: JobID of the document: ASCII letters, digits and . _ - :
    Raises InvalidRequest where the body is none that could be read.
    """
    asked = {name: body[name] for name in ("job", "processes", "rank_by") if name in body}
    notes = Notes("not_said")
    notes.open(())
    request = Node(asked, (), notes)
    document: dict[str, Any] = {
        "Name": "XJDF",
        "Version": VERSION,
        "JobID": job_id,
        "Types": ["Product"],
    }
    job = request.child("job", required=True)
    if job is not None:
        _write_job(job, request, document, processes, stocks, quantity)
    notes.faults.stop()
    return document, tuple(notes.warnings(asked, _NOT_SAID))


def _write_job(
    job: Node,
    request: Node,
    document: dict[str, Any],
    processes: Mapping[str, Process],
    stocks: Mapping[str, Stock],
    quantity: int | None,
) -> None:
    parts = job.children("parts", required=True)
    root: dict[str, Any] = {"ID": "P1", "IsRoot": True, **_amounts(job, quantity)}
    alone = len(parts) == 1 and _is_whole(parts[0], job)
    written = [write_part(part, stocks) for part in parts]
    intents: list[Intent] = []
    children: list[dict[str, Any]] = []
    if alone:
        head, intents = written[0]
        root |= head
        if job.has("binding"):
            intents.append(wrapped("BindingIntent", _binding(job, [])))
    else:
        for number, (part, (head, own)) in enumerate(zip(parts, written, strict=True), 2):
            children.append(_child(part, f"P{number}", head, own))
        intents.append(wrapped("BindingIntent", _binding(job, [each["ID"] for each in children])))
    _put_names(job, parts[0] if alone and parts else None, document, root)
    only = () if alone and not job.has("binding") else COPY_OPERATIONS
    of_copies = write_operations(job.children("operations"), None, only=only)
    intents += [wrapped(name, intent) for name, intent in of_copies.intents]
    for name, intent in (("ProductionIntent", _production(request, processes)),
                         ("ContentCheckIntent", _proof(job))):  # fmt: skip
        if intent:
            intents.append(wrapped(name, intent))
    root["Intent"] = intents
    document["ProductList"] = {"Product": [root, *children]}
    _put_delivery(job, document, root)
    for name, default in _DEFAULTS.items():
        if job.value.get(name) == default:
            job.notes.read(job.at(name))


def _is_whole(part: Node, job: Node) -> bool:
    """Whether the only part can be told as the product itself, not as the child of one.

    The standard wants two children or more; but the root cannot tell how many of it a copy has,
    nor what is done to the part before it is bound.
    """
    if not job.has("binding"):
        return True
    asked = [each.value.get("operation") for each in part.children("operations")]
    return part.value.get("per_copy") in (None, 1) and not set(asked) & set(COPY_OPERATIONS)


def _amounts(job: Node, quantity: int | None) -> dict[str, int]:
    told = job.value.get("quantities")
    quantities = told if isinstance(told, list) else []
    job.notes.open(job.at("quantities"))
    amount = quantity if quantity is not None else next(iter(quantities), None)
    if not isinstance(amount, int | float):
        job.fault("quantities", "required", "A document is about one quantity.")
        return {}
    amount = int(amount)
    for index, each in enumerate(quantities):
        where = job.at("quantities", index)
        job.notes.read(where)
        if each != amount:
            job.notes.warn(where, "not_said", "A document is about one quantity.")
    share = job.number("overs_share")
    if not share:
        return {"Amount": amount}
    most = exact(amount) * (1 + exact(share))
    if most.denominator != 1:
        job.warn("overs_share", "rounded", "Written as whole copies.")
    return {"Amount": amount, "MinAmount": amount, "MaxAmount": round(most)}


def _child(part: Node, id_: str, head: dict[str, Any], intents: list[Intent]) -> dict[str, Any]:
    name = part.text("name")
    named = {} if name is None else {"DescriptiveName": name}
    return {"ID": id_, "IsRoot": False, "Amount": part.amount("per_copy") or 1, **head, **named,
            "Intent": intents}  # fmt: skip


def _binding(job: Node, ids: list[str]) -> Intent:
    intent: Intent = {"BindingType": UNBOUND[0]} | ({"ChildRefs": ids} if ids else {})
    binding = job.child("binding")
    if binding is None:
        return intent
    method = binding.text("method") or ""
    if method == "thread_sewn":
        intent["BindingType"] = "SoftCover"
        intent["SoftCoverBinding"] = {"BlockThreadSewing": True}
    elif method in _TYPES:
        intent["BindingType"] = _TYPES[method]
    else:
        binding.fault("method", "unknown_value", "No method of binding goes by this name.")
    edge = binding.text("edge")
    if edge is not None:
        intent["BindingSide"] = _SIDES.get(edge, "Left")
    return intent


def _put_names(
    job: Node, part: Node | None, document: dict[str, Any], root: dict[str, Any]
) -> None:
    """Put title and, of a job of one part, that part's name, which needs a title beside it."""
    title = job.text("title")
    if part is None or not part.has("name") or not title:
        if title:
            root["DescriptiveName"] = title
        return
    document["DescriptiveName"] = title
    root["DescriptiveName"] = part.text("name")


def _production(request: Node, processes: Mapping[str, Process]) -> Intent:
    intent: Intent = {}
    ranked = request.value.get("rank_by")
    for word, name in PROCESSES_RANKED.items():
        if ranked == name:
            request.text("rank_by")
            intent["PrintPreference"] = word
    asked = [name for _, name in request.texts("processes")]
    tokens = {processes[name].standard_token for name in asked if name in processes}
    if not asked:
        return intent
    if len(tokens) != 1 or not set(asked) <= set(processes):
        detail = "A document names one process: these have not one name of the standard."
        request.warn("processes", "not_said", detail)
        return intent
    token = tokens.pop()
    alike = {name for name, each in processes.items() if each.standard_token == token}
    if alike - set(asked):
        detail = f"{token} stands for {', '.join(sorted(alike))}."
        request.warn("processes", "rounded", detail)
    return intent | {"PrintProcess": token}


def _proof(job: Node) -> Intent:
    proof = job.value.get("proof")
    if proof not in ("soft", "contract"):
        return {}
    job.text("proof")
    return {"ProofItem": [{"Contract": proof == "contract"}]}


def _put_delivery(job: Node, document: dict[str, Any], root: dict[str, Any]) -> None:
    delivery: dict[str, Any] = {}
    due_at, dispatch = job.text("due_at"), job.text("dispatch")
    if due_at is not None:
        delivery["Required"] = due_at
    if dispatch in _TRANSFERS:
        delivery["Transfer"] = _TRANSFERS[dispatch]
    if not delivery:
        return
    delivery["DropItem"] = [{"Amount": root.get("Amount", 1), "ItemRef": root["ID"]}]
    resource = {"Name": "DeliveryParams", "Usage": "Input",
                "Resource": [{"DeliveryParams": delivery}]}  # fmt: skip
    document["ResourceSet"] = [resource]
