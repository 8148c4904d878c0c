"""The XJDF document of what is priced: the one sent, or one written of the job.

An answer holds it with a quantity and the processes filled in. What the sender wrote beside that
stays as it was, what has no bearing on the price too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..stock import Stock
from ..work import Process
from .faults import Path
from .number_text import writable
from .product_intent import ROOT_NAME, Given, pointed_at
from .xjdf import Ignored, read_product, write_product

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Intent:
    """A document with one root product, and where the parts of the job stand in it.

    products: path of the product of each part, in the order of the job
    notes: what of the request it does not say, or what of it has no effect
    overs_share: copies to deliver beyond a quantity, as a share of it
    """

    document: Mapping[str, Any]
    products: tuple[Path, ...]
    notes: tuple[str, ...]
    overs_share: float = 0.0

    def at(self, quantity: int, notes: Iterable[str] = ()) -> Json:
        """Return a copy of the document, asked for so many, with its notes as comments."""
        document: Json = {"Name": ROOT_NAME, **writable(self.document)}
        document["Name"] = ROOT_NAME  # which may have been left out, or null
        _amount(document, quantity, self.overs_share)
        comment(document, [*self.notes, *notes])
        return document

    def made_by(self, document: Json, tokens: Sequence[str]) -> None:
        """Write into a copy which process makes each part. tokens: of the parts, in their order"""
        # A product of several parts tells the process of its first one.
        for path, token in reversed(list(zip(self.products, tokens, strict=True))):
            _process(_at(document, path), token)


def intent_of(
    given: Given,
    processes: Mapping[str, Process],
    stocks: Mapping[str, Stock],
    job_id: str,
) -> Intent:
    """Return the document of a request that has no fault.

    processes, stocks: those of the plant, by id
    job_id: that of a document which is written of a job
    """
    job = given.body["job"]
    parts, overs_share = len(job["parts"]), job.get("overs_share") or 0.0
    if given.document is not None:
        notes = tuple(_note(each) for each in given.warnings)
        products = _products(given.document, given.read_from, parts)
        return Intent(given.document, products, notes, overs_share)
    document, untold = write_product(given.body, processes, stocks, job_id=job_id)
    read = read_product(document, processes, stocks)
    products = _products(document, read.origins, parts)
    return Intent(document, products, tuple(_note(each) for each in untold), overs_share)


def root_product(document: Mapping[str, Any]) -> Json:
    """Return the one root product of a document that was read without a fault."""
    return _root(document)[1]


def comment(document: Json, notes: Iterable[str]) -> None:
    """Add comments to a copy of a document."""
    added = [{"Text": note} for note in notes]
    if added:
        document["Comment"] = [*listed(document.get("Comment")), *added]


def set_of(document: Json, name: str, usage: str, resources: Sequence[Json]) -> None:
    """Put a set of resources into a copy of a document, in place of those of its kind."""
    kept = [
        each
        for each in listed(document.get("ResourceSet"))
        if not (isinstance(each, dict) and each.get("Name") == name)
    ]
    written = {"Name": name, "Usage": usage, "Resource": list(resources)}
    document["ResourceSet"] = [*kept, written]


def _root(document: Mapping[str, Any]) -> tuple[Path, Json]:
    products = document["ProductList"]["Product"]
    index = next((i for i, each in enumerate(products) if each.get("IsRoot")), 0)
    return ("ProductList", "Product", index), products[index]


def _products(
    document: Mapping[str, Any], read_from: Mapping[Path, Path], parts: int
) -> tuple[Path, ...]:
    """Return the product that each part was read from: the one that most of it stands in."""
    root, _ = _root(document)
    found = []
    for number in range(parts):
        inside: Path = ("job", "parts", number)
        places = [
            place[: len(root)]
            for path, place in read_from.items()
            if path[: len(inside)] == inside and place[:2] == root[:2] and len(place) >= len(root)
        ]
        found.append(max(dict.fromkeys(places), key=places.count, default=root))
    return tuple(found)


def _amount(document: Json, quantity: int, overs_share: float) -> None:
    """Ask for so many; what was told for another amount goes along, or goes."""
    product = root_product(document)
    asked = product.get("Amount")
    if asked == quantity:
        return
    for item in _drop_items(document):
        if item.get("Amount") == asked:
            item["Amount"] = quantity
    product.pop("MinAmount", None)
    product.pop("MaxAmount", None)
    product["Amount"] = quantity
    if overs_share:
        most = round(quantity * (1 + overs_share))
        product |= {"MinAmount": quantity, "MaxAmount": most}


def _drop_items(document: Json) -> Iterator[Json]:
    """Yield what is delivered, item by item, as far as it is told so."""
    for each in _objects(document.get("ResourceSet")):
        for resource in _objects(each.get("Resource")):
            for params in _objects(resource.get("DeliveryParams")):
                yield from _objects(params.get("DropItem"))


def _objects(value: Any) -> list[Json]:
    return [each for each in listed(value) if isinstance(each, dict)]


def _process(product: Json, token: str) -> None:
    name = "ProductionIntent"
    intents = listed(product.get("Intent"))
    for intent in intents:
        if isinstance(intent, dict) and intent.get("Name") == name:
            found = intent.get(name)
            intent[name] = {**(found if isinstance(found, dict) else {}), "PrintProcess": token}
            return
    product["Intent"] = [*intents, {"Name": name, name: {"PrintProcess": token}}]


def _at(document: Json, path: Path) -> Json:
    found: Any = document
    for step in path:
        found = found[step]
    product: Json = found
    return product


def listed(value: Any) -> list[Any]:
    """Return a member that may repeat as a list, even where it was sent as one object."""
    if value is None:
        return []
    return value if isinstance(value, list) else [value]


def _note(ignored: Ignored) -> str:
    return f"{pointed_at(ignored)}: {ignored.code}: {ignored.detail}"
