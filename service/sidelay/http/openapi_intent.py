"""How the OpenAPI document tells the documents of other standards: in outline, in our own words.

Shape and names follow the standards as far as they are read or written here. Members beside these
may stand in what is sent; each is answered with a warning.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

INTENT, QUOTATION = "ProductIntent", "Quotation"

_WORDS = {"type": "array", "items": {"type": "string"}}
_OBJECTS = {"type": "array", "items": {"type": "object"}}
_MONEY = {"type": "number", "description": "net of tax, with the digits of the currency"}


def _object(required: str, about: str = "", **properties: Any) -> dict[str, Any]:
    described = {"description": about} if about else {}
    return {
        "type": "object",
        **described,
        "required": required.split(),
        "properties": properties,
    }


_PRODUCT = _object(
    "",
    ID={"type": "string"},
    IsRoot={"type": "boolean"},
    Amount={"type": "integer", "minimum": 1, "x-unit": "{piece}"},
    ProductType={"type": "string"},
    DescriptiveName={"type": "string"},
    Intent=_OBJECTS,
)
_ADDITIONAL = _object(
    "BaseAmount BasePrice Amount Price",
    "what so many more cost on the same press in the same run",
    BaseAmount={"type": "integer"},
    BasePrice=_MONEY,
    Amount={"type": "integer"},
    Price=_MONEY,
)
_PRICE = _object(
    "DescriptiveName Price PriceType TaxType Amount UnitPrice",
    DescriptiveName={"type": "string"},
    LineID={"type": "string"},
    LineIDRefs=_WORDS,
    PriceType={"type": "string", "enum": ["Product", "Total"]},
    TaxType={"type": "string", "enum": ["Net"]},
    Amount={"type": "integer", "x-unit": "{piece}"},
    Price=_MONEY,
    UnitPrice={"type": "number", "description": "for one piece, with four digits more"},
    Additional={"type": "array", "items": _ADDITIONAL},
)
_QUOTE = _object(
    "QuoteID Pricing XJDF",
    "what one process asks",
    QuoteID={
        "type": "string",
        "description": "the same for the same job, state of the plant, process and prices",
    },
    Pricing=_object(
        "Currency Price",
        Currency={"type": "string", "description": "ISO 4217"},
        Price={"type": "array", "items": _PRICE},
    ),
    XJDF={"type": "array", "items": {"$ref": f"#/components/schemas/{INTENT}"}},
)
_QUOTATION = _object(
    "Estimate Expires Quote",
    Estimate={"type": "boolean"},
    Expires={"type": "string", "format": "date-time"},
    Quote={"type": "array", "items": _QUOTE},
)
_REFUSAL = _object(
    "Reason Comment",
    "no press can print it",
    Reason={"type": "string", "enum": ["Other"]},
    Comment={"type": "array", "items": _object("Text", Text={"type": "string"})},
)

COMPONENTS: Mapping[str, Mapping[str, Any]] = {
    INTENT: _object(
        "JobID Types ProductList",
        "An XJDF document of one product in its JSON form: a subset of product intent is read, in "
        "points, g/m2 and percent. No JSON Schema of the standard is part of this service.",
        Name={"type": "string", "enum": ["XJDF"]},
        Version={"type": "string"},
        JobID={"type": "string"},
        DescriptiveName={"type": "string"},
        Types=_WORDS,
        Comment=_OBJECTS,
        ProductList=_object("Product", Product={"type": "array", "items": _PRODUCT}),
        ResourceSet=_OBJECTS,
    ),
    QUOTATION: _object(
        "Name Version timestamp Header Request",
        "A quotation in the shape of PrintTalk, one quote for each process; a refusal where no "
        "press can print it.",
        Name={"type": "string", "enum": ["PrintTalk"]},
        Version={"type": "string"},
        timestamp={"type": "string", "format": "date-time"},
        Header={"type": "object"},
        Request=_object(
            "BusinessID",
            BusinessID={"type": "string"},
            DescriptiveName={"type": "string"},
            Quotation=_QUOTATION,
            Refusal=_REFUSAL,
        ),
    ),
}


def reference(component: str) -> dict[str, Any]:
    """Return a schema that is one of the components."""
    return {"$ref": f"#/components/schemas/{component}"}
