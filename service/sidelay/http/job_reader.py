"""From valid request data and a plant to a Job; knows neither Flask nor marshmallow."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..job import Ink, Job, Part, Side
from ..paper import grammage_from_basis_weight
from ..plant import NoSuchStock, Plant, find_stock
from ..stock import Stock
from .faults import Faults, Path
from .folding import Flat, FoldMismatch, flat_piece

_FOLDING = ("size", "flat_size", "pages", "folds")


def read_job(data: Mapping[str, Any], plant: Plant | None, faults: Faults) -> Job:
    """Return the job of a request's data, its stock found in the plant.

    data: as the schema loads it; members with a fault may be missing
    plant: None when the one asked for is not known; what depends on it is then not checked
    Raises InvalidRequest with the faults given and those found here.
    """
    given = data.get("job") or {}
    parts = [
        part
        for index, table in enumerate(given.get("parts") or ())
        if (part := _part(table or {}, plant, faults, ("job", "parts", index)))
    ]
    faults.stop()
    return Job(
        title=given["title"],
        quantities=tuple(given["quantities"]),
        parts=tuple(parts),
        quality=given["quality"],
        proof=given["proof"],
        uses=tuple(dict.fromkeys(given["uses"])),
    )


def _part(given: dict[str, Any], plant: Plant | None, faults: Faults, path: Path) -> Part | None:
    """Return the part, or None when something about it is faulty."""
    stock = _stock(given, plant, faults, path)
    flat = _flat(given, faults, path)
    _check_inks(given, faults, path)
    if stock is None or flat is None or not faults.clear_of(path):
        return None
    return Part(
        name=given["name"],
        kind=given["kind"],
        width_mm=given["size"][0],
        height_mm=given["size"][1],
        flat_width_mm=flat.width_mm,
        flat_height_mm=flat.height_mm,
        pages=flat.pages,
        folds=given["folds"],
        bleed_mm=given["bleed_mm"],
        stock=stock,
        grain=given["grain"],
        front=_side(given["front"]),
        back=_side(given["back"]),
        ruling_lpi=given["ruling_lpi"],
        variable_share=given["variable_share"],
        gutter_mm=given["gutter_mm"],
    )


def _side(given: dict[str, Any]) -> Side:
    return Side(tuple(given["inks"]), given["coverage"]) if given["inks"] else Side()


def _stock(given: dict[str, Any], plant: Plant | None, faults: Faults, path: Path) -> Stock | None:
    if plant is None or "stock" not in given or not faults.clear_of((*path, "stock")):
        return None
    try:
        return _find_stock(given["stock"], plant)
    except NoSuchStock as fault:
        faults.add((*path, "stock"), "unknown_stock", _sentence(str(fault)))
        return None


def _find_stock(wish: dict[str, Any], plant: Plant) -> Stock:
    """Return the stock wished for. Raises NoSuchStock."""
    if "id" in wish:
        if wish["id"] not in plant.stocks:
            raise NoSuchStock(f"no stock has this id; there is {', '.join(plant.stocks)}")
        return plant.stocks[wish["id"]]
    grammage = wish.get("grammage_gsm") or grammage_from_basis_weight(
        wish["basis_weight_lb"], wish["basis"]
    )
    return find_stock(plant, wish["grade"], wish.get("finish"), grammage)


def _flat(given: dict[str, Any], faults: Faults, path: Path) -> Flat | None:
    pages = given.get("pages")
    if pages is not None and pages % 2:
        faults.add((*path, "pages"), "odd_pages", "Expected an even number: two pages a panel.")
    known = "size" in given and "folds" in given
    if not known or not faults.clear_of(*((*path, member) for member in _FOLDING)):
        return None
    try:
        return flat_piece(given["size"], given.get("flat_size"), pages, given["folds"])
    except FoldMismatch as fault:
        faults.add((*path, fault.member), "fold_mismatch", str(fault))
        return None


def _check_inks(given: dict[str, Any], faults: Faults, path: Path) -> None:
    for side in ("front", "back"):
        inks = (given.get(side) or {}).get("inks") or []
        for index in _repeated(inks):
            where = (*path, side, "inks", index)
            faults.add(where, "same_ink_twice", "This ink stands before on the same side.")
    known = "front" in given and "back" in given
    if not known or not faults.clear_of((*path, "front"), (*path, "back")):
        return
    if not given["front"]["inks"] and not given["back"]["inks"]:
        faults.add((*path, "front", "inks"), "nothing_to_print", "Expected an ink on either side.")


def _repeated(inks: list[Any]) -> Iterator[int]:
    """Indices of inks whose name stands earlier in the list; faulty items are passed over."""
    seen: set[str] = set()
    for index, ink in enumerate(inks):
        if not isinstance(ink, Ink):
            continue
        if ink.name in seen:
            yield index
        seen.add(ink.name)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
