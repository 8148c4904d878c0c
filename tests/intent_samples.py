"""XJDF documents of invented jobs, as a back office would send them."""

from __future__ import annotations

import copy
import json
from typing import Any

from shop import EXAMPLES

SHOWN = json.loads((EXAMPLES / "xjdf" / "guided_walks_leaflet.json").read_bytes())
LEAFLET: dict[str, Any] = SHOWN["xjdf"]
AS_OF = SHOWN["as_of"]
XJDF = "application/vnd.cip4-xjdf+json"
PTK = "application/vnd.cip4-ptk+json"


def leaflet(**changes: Any) -> dict[str, Any]:
    """A document without a fault, free to be changed; changes: members of its product."""
    document = copy.deepcopy(LEAFLET)
    document["ProductList"]["Product"][0] |= changes
    return document


def product(document: dict[str, Any]) -> dict[str, Any]:
    """The first product of a document."""
    found: dict[str, Any] = document["ProductList"]["Product"][0]
    return found


def intent(document: dict[str, Any], name: str) -> dict[str, Any]:
    """An intent of the first product of a document."""
    found: dict[str, Any] = next(
        each[name] for each in product(document)["Intent"] if each["Name"] == name
    )
    return found


def resources(document: dict[str, Any], name: str) -> list[dict[str, Any]]:
    """The resources of a set of a document; none where there is no such set."""
    return [
        resource
        for each in document.get("ResourceSet", [])
        if each["Name"] == name
        for resource in each["Resource"]
    ]


def request(**members: Any) -> dict[str, Any]:
    """A request with the document as a member, at a known time."""
    return {"xjdf": leaflet(), "as_of": AS_OF, **members}
