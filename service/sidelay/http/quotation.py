"""A quotation in the shape of PrintTalk, as JSON after the encoding rules of XJDF.

No JSON form of PrintTalk was found: the rules of XJDF's are used. A child that may repeat is an
array, and prices are numbers with the digits of the currency.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..work import Process
from .intent_documents import Intent, Json
from .number_text import number

VERSION = "2.1"
RUN_ON = 1000


@dataclass(frozen=True, slots=True)
class Letterhead:
    """What a quotation says of itself.

    sender, receiver: ids of the plant and of the client, "" for one without an id
    stated_at, expires_at: as RFC 3339 writes them
    fingerprint: of the job; revision: of the plant
    """

    title: str
    sender: str
    receiver: str
    stated_at: str
    expires_at: str
    fingerprint: str
    revision: str


@dataclass(frozen=True, slots=True)
class Row:
    """What one process asks for one quantity. offer: it as the JSON answer tells it"""

    quantity: int
    offer: Mapping[str, Any]

    @property
    def price(self) -> Mapping[str, str]:
        """Its money, net of tax."""
        found: Mapping[str, str] = self.offer["price"]
        return found


def rows_of_estimate(answer: Mapping[str, Any]) -> list[Row]:
    """Return the best offer at each quantity."""
    return [Row(each["quantity"], each) for each in answer["estimates"]]


def rows_of_comparison(answer: Mapping[str, Any]) -> list[Row]:
    """Return the best choice of each process at each quantity, as they are ranked."""
    found: list[Row] = []
    for asked in answer["quantities"]:
        best: dict[str, Row] = {}
        for choice in asked["choices"]:
            best.setdefault(choice["process"], Row(asked["quantity"], choice))
        found += best.values()
    return found


def quotation(
    head: Letterhead, rows: Sequence[Row], intent: Intent, processes: Mapping[str, Process]
) -> Json:
    """Return a quotation: one quote for each process, in the order in which they come up."""
    by_process: dict[str, list[Row]] = {}
    for row in rows:
        by_process.setdefault(row.offer["process"], []).append(row)
    quotes = [
        _quote(head, process, found, intent, processes) for process, found in by_process.items()
    ]
    ids = [quote["QuoteID"] for quote in quotes]
    told = {"Estimate": True, "Expires": head.expires_at, "Quote": quotes}
    return _letter(head, ids, {"Quotation": told})


def refusal(head: Letterhead, reasons: Iterable[str]) -> Json:
    """Return that nobody can make it, and why."""
    told = {"Reason": "Other", "Comment": [{"Text": reason} for reason in reasons]}
    return _letter(head, ["refused"], {"Refusal": told})


def _letter(head: Letterhead, ids: Sequence[str], told: Json) -> Json:
    request = {"BusinessID": _id("B", head, ids), "DescriptiveName": head.title}
    return {
        "Name": "PrintTalk",
        "Version": VERSION,
        "timestamp": head.stated_at,
        "Header": {
            "From": {"Credential": [_credential("plant", head.sender)]},
            "To": {"Credential": [_credential("client", head.receiver or "anyone")]},
        },
        "Request": {**(request if head.title else {"BusinessID": request["BusinessID"]}), **told},
    }


def _credential(domain: str, identity: str) -> Json:
    return {"domain": domain, "Identity": identity}


def _quote(
    head: Letterhead,
    process: str,
    rows: Sequence[Row],
    intent: Intent,
    processes: Mapping[str, Process],
) -> Json:
    document = intent.at(rows[0].quantity)
    makers = _makers(rows[0].offer)
    intent.made_by(document, [processes[each].standard_token for each in makers])
    prices = [line for place, row in enumerate(rows, 1) for line in _prices(place, row, head)]
    said = [process, *(f"{row.quantity}={row.price['net']}" for row in rows)]
    return {
        "QuoteID": _id("Q", head, said),
        "Pricing": {"Currency": rows[0].price["currency"], "Price": prices},
        "XJDF": [document],
    }


def _makers(offer: Mapping[str, Any]) -> list[str]:
    """Return the process of each part: of several that it runs through, the last."""
    return list({step["part"]: step["process"] for step in offer["route"]}.values())


def _prices(place: int, row: Row, head: Letterhead) -> list[Json]:
    """Return what so many cost: the line, with the price of a further 1,000, and its total."""
    price, line = row.price, f"L{place}"
    net = number(price["net"])
    shared = {"Amount": row.quantity, "UnitPrice": number(price["per_piece"]), "TaxType": "Net"}
    copies = f"{row.quantity} copies"
    return [
        {
            "LineID": line,
            "DescriptiveName": f"{head.title}, {copies}" if head.title else copies,
            "PriceType": "Product",
            "Price": net,
            **shared,
            "Additional": [
                {
                    "BaseAmount": row.quantity,
                    "BasePrice": net,
                    "Amount": RUN_ON,
                    "Price": number(price["run_on_per_1000"]),
                }
            ],
        },
        {
            "LineIDRefs": [line],
            "DescriptiveName": f"Total for {copies}",
            "PriceType": "Total",
            "Price": net,
            **shared,
        },
    ]


def _id(kind: str, head: Letterhead, said: Iterable[str]) -> str:
    """Return an id that tells what is said from anything else, the same whenever it is said."""
    words = [head.sender, head.revision, head.fingerprint, *said]
    return f"{kind}-{hashlib.sha256(chr(10).join(words).encode()).hexdigest()[:16]}"
