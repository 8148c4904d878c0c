"""Products and their options as plain data: what there is to choose, and what goes with what."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from ..choosing import Legal, legal
from ..products import ChoiceOption, NumberOption, Option, Product, Rule
from .catalogues import Sold
from .render import write_plant_head
from .selection import Selection


def list_products(every: Iterable[Sold], language: str, languages: Sequence[str]) -> dict[str, Any]:
    """Return every product in short; in the language asked where its catalogue has that one."""
    return {
        "language": language,
        "languages": list(languages),
        "products": [_in_short(sold, language) for sold in every],
    }


def _in_short(sold: Sold, language: str) -> dict[str, Any]:
    product, own = sold.product, sold.catalogue.languages
    told = language if language in own else own[0]
    return {
        "id": product.id,
        "plant": product.plant,
        "name": product.name[told],
        "about": product.about[told],
    }


def show_product(sold: Sold, selection: Selection) -> dict[str, Any]:
    """Return a product, and of each option which values go with the others chosen."""
    product, language = sold.product, selection.language
    return {
        "id": product.id,
        "plant": write_plant_head(sold.plant),
        "name": product.name[language],
        "about": product.about[language],
        "language": language,
        "languages": list(sold.catalogue.languages),
        "options": [_option(product, option, selection) for option in product.options],
        "quantities": {
            "ladder": list(product.ladder),
            "from": product.ladder[0],
            "to": product.ladder[-1],
            "between": product.between,
        },
    }


def _option(product: Product, option: Option, selection: Selection) -> dict[str, Any]:
    found, language = legal(product, option, selection.chosen), selection.language
    chosen = selection.chosen.get(option.id)
    open_still = chosen is None and option.default is None
    head = {"id": option.id, "name": option.name[language]}
    state = {
        "default": option.default,
        "chosen": chosen,
        "settled": None if open_still else selection.settled[option.id],
    }
    if isinstance(option, NumberOption):
        return {**head, "kind": "number", **state, **_number(option, found, language)}
    return {**head, "kind": "choice", **state, "values": _values(option, found, language)}


def _values(option: ChoiceOption, found: Legal, language: str) -> list[dict[str, Any]]:
    return [
        {
            "id": value.id,
            "name": value.name[language],
            "legal": value.id in found.values,
            "because": _because((found.because or {}).get(value.id), language),
        }
        for value in option.values
    ]


def _number(option: NumberOption, found: Legal, language: str) -> dict[str, Any]:
    return {
        "unit": option.unit,
        "from": option.least,
        "to": option.most,
        "step": option.step,
        "legal_from": found.least,
        "legal_to": found.most,
        "because": _because((found.because or {}).get(""), language),
    }


def _because(rule: Rule | None, language: str) -> str | None:
    return rule.because[language] if rule else None
