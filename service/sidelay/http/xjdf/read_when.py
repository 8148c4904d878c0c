"""When and where to: what the resource sets of a document say about delivery."""

from __future__ import annotations

from collections.abc import Sequence

from .draft import Draft
from .notes import Node
from .words import TRANSFERS, USAGES

_DISPATCHES = {"PrinterToBuyerDeliver": "deliver", "PrinterToBuyerPickup": "collect"}
_ENDS = ("End", "LastEnd")


def read_resources(root: Node, job: Draft, ids: Sequence[str | None]) -> None:
    """Put due date and dispatch of the job. ids: of the products, the root's first"""
    deliveries: list[Node] = []
    planned: list[Node] = []
    for group in root.children("ResourceSet"):
        name = group.text("Name", required=True)
        group.word("Usage", USAGES)
        if name not in ("DeliveryParams", "NodeInfo"):
            detail = "No resource of this kind is read here."
            if name == "CustomerInfo":
                detail = "Who asks has no bearing on the price here: the key tells the price list."
            group.notes.warn(group.path, "ignored", detail, whole=True)
            continue
        held = [each.child(name) for each in group.children("Resource")]
        (deliveries if name == "DeliveryParams" else planned).extend(filter(None, held))
    for extra in deliveries[1:]:
        detail = "One delivery is estimated: the first."
        extra.notes.warn(extra.path, "ignored", detail, whole=True)
    if deliveries:
        _read_delivery(deliveries[0], job, ids)
    for node in planned:
        _read_end(node, job)


def _read_delivery(delivery: Node, job: Draft, ids: Sequence[str | None]) -> None:
    required = delivery.text("Required")
    if required is not None:
        job.put("due_at", required, delivery.at("Required"))
    transfer = delivery.word("Transfer", TRANSFERS)
    if transfer in _DISPATCHES:
        job.put("dispatch", _DISPATCHES[transfer], delivery.at("Transfer"))
    elif transfer is not None:
        detail = "What the customer brings or collects of his own is not estimated."
        delivery.warn("Transfer", "ignored", detail)
    elif delivery.text("Method") is not None:
        job.put("dispatch", "deliver", delivery.at("Method"))
        detail = "Read as delivered, since it tells no Transfer; which way has no bearing here."
        delivery.warn("Method", "assumed", detail)
    drops = delivery.children("DropItem")
    for drop in drops:
        _read_drop(drop, job, ids, alone=len(drops) == 1)


def _read_drop(drop: Node, job: Draft, ids: Sequence[str | None], *, alone: bool) -> None:
    """Check that a drop is the whole of the job; its amount stands in where the product's lacks."""
    item = drop.text("ItemRef", required=True)
    if item is None:
        return
    if item not in ids:
        drop.fault("ItemRef", "unknown_product", "No product of the list has this ID.")
    elif item != ids[0] or not alone:
        detail = "One delivery of the whole job is estimated."
        drop.notes.warn(drop.path, "ignored", detail, whole=True)
    else:
        _read_drop_amount(drop, job)


def _read_drop_amount(drop: Node, job: Draft) -> None:
    amount = drop.amount("Amount")
    quantities = job.members.get("quantities")
    if amount is None or quantities == [amount]:
        return
    if quantities is None:
        job.put_each("quantities", [(amount, drop.at("Amount"))], drop.at("Amount"))
        detail = "The product tells no Amount: that of its delivery is taken."
        drop.warn("Amount", "assumed", detail)
        return
    drop.warn("Amount", "ignored", "The Amount of the product is estimated, delivered at once.")


def _read_end(node: Node, job: Draft) -> None:
    """Take the end of production as the due date, where no delivery tells one."""
    for name in _ENDS:
        if "due_at" in job.members or not node.has(name):
            continue
        end = node.text(name)
        if end is not None:
            job.put("due_at", end, node.at(name))
            detail = "No delivery tells when it is required: read as the due date."
            node.warn(name, "assumed", detail)
