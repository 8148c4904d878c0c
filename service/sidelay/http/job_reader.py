"""From valid request data and a plant to a Job; knows neither Flask nor marshmallow."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches
from typing import Any

from ..job import Ink, Job, Part, Previous, Side
from ..paper import grammage_from_basis_weight
from ..plant import NoSuchStock, Plant, find_stock
from ..stock import Stock
from .faults import Faults, Path, sentence
from .folding import Flat, FoldMismatch, flat_bound, flat_one, flat_piece, flat_section
from .whole_job import (
    CARTON,
    bind,
    check_carton,
    check_names,
    check_pages,
    read_binding,
    read_operations,
)

_FOLDING = ("size", "flat_size", "pages", "folds")
# Where the request does not tell: bleed and gutter [mm], ruling. Common practice, no source.
BLEED_MM = {"envelope": 0.0, "label": 1.0, "web": 0.0, "piece": 0.0}  # else 3
GUTTER_MM = {"label": 1.0}
LEAST_VARIABLE_SHARE = 0.01
OVERPRINTED = ("leaf", "insert")
MOST_NAMES_TOLD = 12
RULING_LPI = {"label": 133.0, "web": 133.0, "piece": 55.0}  # else 150


def read_job(data: Mapping[str, Any], plant: Plant | None, faults: Faults) -> Job:
    """Return the job of a request's data, its stock found in the plant.

    data: as the schema loads it; members with a fault may be missing
    plant: None when the one asked for is not known; what depends on it is then not checked
    Raises InvalidRequest with the faults given and those found here.
    """
    given = data.get("job") or {}
    binding = read_binding(given.get("binding"), plant, faults)
    numbered = [
        (index, part)
        for index, table in enumerate(given.get("parts") or ())
        if (part := _part(table or {}, given, plant, faults, ("job", "parts", index)))
    ]
    check_names(numbered, faults)
    operations = read_operations(
        given.get("operations") or (), plant, faults, ("job", "operations")
    )
    if plant is not None:
        _check_previous(given.get("previous") or (), plant, faults)
    parts = bind(numbered, binding, plant, faults) if plant and not faults.any() else ()
    faults.stop()
    return Job(
        title=given["title"],
        quantities=tuple(given["quantities"]),
        parts=parts,
        quality=given["quality"],
        proof=given["proof"],
        uses=tuple(dict.fromkeys(given["uses"])),
        previous=tuple(
            Previous(each["press"], tuple(each["inks"]), each["stock"])
            for each in given["previous"]
        ),
        binding=binding,
        operations=operations,
        overs_share=given["overs_share"],
        rush=given["rush"],
        drying_aid=given["drying_aid"],
    )


def _part(
    given: dict[str, Any], job: dict[str, Any], plant: Plant | None, faults: Faults, path: Path
) -> Part | None:
    """Return the part, or None when something about it is faulty. job: what it is a part of."""
    stock = _stock(given, plant, faults, path)
    flat = _flat(given, job, faults, path)
    operations = read_operations(
        given.get("operations") or (), plant, faults, (*path, "operations")
    )
    if given.get("kind") == "carton":
        operations = operations or CARTON
        check_carton(operations, plant, faults, (*path, "operations"))
    _check_inks(given, faults, path)
    _check_overprint(given, faults, path)
    if given.get("pieces_per_reel") and given.get("kind", "leaf") not in ("label", "web"):
        detail = "Only labels and webs come on reels: leave it out."
        faults.add((*path, "pieces_per_reel"), "conflicting_members", detail)
    _check_kept(given.get("kept_carriers") or (), plant, faults, (*path, "kept_carriers"))
    if stock is None or flat is None or not faults.clear_of(path):
        return None
    return Part(
        name=given.get("name", f"part {int(path[-1]) + 1}"),
        kind=given["kind"],
        width_mm=given["size"][0],
        height_mm=given["size"][1],
        flat_width_mm=flat.width_mm,
        flat_height_mm=flat.height_mm,
        pages=flat.pages,
        folds=flat.folds,
        bleed_mm=_bleed_mm(given),
        stock=stock,
        grain=given["grain"],
        front=_side(given["front"]),
        back=_side(given["back"]),
        ruling_lpi=_ruling_lpi(given),
        variable_share=_variable_share(given),
        gutter_mm=given.get("gutter_mm", GUTTER_MM.get(given["kind"], 0.0)),
        impression=given["impression"],
        min_type_pt=given.get("min_type_pt"),
        min_reverse_type_pt=given.get("min_reverse_type_pt"),
        min_line_pt=given.get("min_line_pt"),
        tone_steps=given.get("tone_steps"),
        register_mm=given.get("register_mm"),
        pieces_per_reel=given.get("pieces_per_reel"),
        kept_carriers=tuple(dict.fromkeys(given["kept_carriers"])),
        per_copy=given["per_copy"],
        overprint=_overprint(given),
        overprint_quality=(given.get("overprint") or {}).get("quality"),
        ready_made=given["kind"] == "envelope",
        operations=operations,
    )


def _ruling_lpi(given: dict[str, Any]) -> float:
    """The ruling told, or the usual one of the kind; none where no side has two process inks."""
    if "ruling_lpi" in given:
        told: float = given["ruling_lpi"]
        return told
    sides = (given["front"]["inks"], given["back"]["inks"])
    pictures = any(sum(each.ink.kind == "process" for each in inks) > 1 for inks in sides)
    return RULING_LPI.get(given["kind"], 150.0) if pictures else 0.0


def _overprint(given: dict[str, Any]) -> tuple[Side, Side] | None:
    """What differs from piece to piece, front and back, where it is told apart."""
    told = given.get("overprint")
    return (_side(told["front"]), _side(told["back"])) if told else None


def _variable_share(given: dict[str, Any]) -> float:
    """The share told; if none, what the overprint covers, so that it is never taken for nothing."""
    told, overprint = float(given["variable_share"]), _overprint(given)
    if told or overprint is None:
        return told
    covered = sum(side.average_coverage_pct for side in overprint) / 200
    return min(1.0, max(LEAST_VARIABLE_SHARE, covered))


def _bleed_mm(given: dict[str, Any]) -> float:
    bleed: float = given.get("bleed_mm", BLEED_MM.get(given["kind"], 3.0))
    return bleed


def _side(given: dict[str, Any]) -> Side:
    if not given["inks"]:
        return Side()
    own = {each.ink.name: each.coverage for each in given["inks"] if each.coverage is not None}
    return Side(
        tuple(each.ink for each in given["inks"]),
        given["coverage"],
        given.get("heaviest_pct"),
        tuple(own.items()),
    )


def _stock(given: dict[str, Any], plant: Plant | None, faults: Faults, path: Path) -> Stock | None:
    if plant is None or "stock" not in given or not faults.clear_of((*path, "stock")):
        return None
    try:
        return _find_stock(given["stock"], plant)
    except NoSuchStock as fault:
        faults.add((*path, "stock"), "unknown_stock", sentence(str(fault)))
        return None


def _find_stock(wish: dict[str, Any], plant: Plant) -> Stock:
    """Return the stock wished for. Raises NoSuchStock."""
    if "id" in wish:
        if wish["id"] not in plant.stocks:
            raise NoSuchStock(f"no stock has this id; {near_names(wish['id'], plant.stocks)}")
        return plant.stocks[wish["id"]]
    grammage = wish.get("grammage_gsm") or grammage_from_basis_weight(
        wish["basis_weight_lb"], wish["basis"]
    )
    return find_stock(plant, wish["grade"], wish.get("finish"), grammage)


def _flat(
    given: dict[str, Any], job: dict[str, Any], faults: Faults, path: Path
) -> Flat | None:
    pages = given.get("pages")
    if pages is not None and pages % 2:
        faults.add((*path, "pages"), "odd_pages", "Expected an even number: two pages a panel.")
    known = {"size", "folds"} <= set(given)
    kind = given.get("kind", "leaf")  # where it is faulty: what it would be if left out
    if not known or not faults.clear_of(*((*path, member) for member in _FOLDING)):
        return None
    bound = kind == "section" and job.get("binding")
    if bound and not check_pages(pages, job["binding"], faults, path):
        return None
    try:
        if bound or kind == "cover":
            return flat_bound(given["size"], given, pages, kind)
        if kind == "section":
            return flat_section(given["size"], given, pages, _bleed_mm(given))
        if kind in ("envelope", "label", "web", "piece"):
            return flat_one(given["size"], given, pages)
        return flat_piece(given["size"], given.get("flat_size"), pages, given["folds"])
    except FoldMismatch as fault:
        missing = fault.member == "pages" and pages is None
        code = "required" if missing else "fold_mismatch"
        faults.add((*path, fault.member), code, str(fault))
        return None


def _check_overprint(given: dict[str, Any], faults: Faults, path: Path) -> None:
    """An overprint has an ink, and goes onto flat or folded pieces."""
    told = given.get("overprint")
    if not told or not faults.clear_of((*path, "overprint")):
        return
    if given.get("kind", "leaf") not in OVERPRINTED:
        detail = f"An overprint goes onto one of: {', '.join(OVERPRINTED)}."
        faults.add((*path, "overprint"), "conflicting_members", detail)
    elif not told["front"]["inks"] and not told["back"]["inks"]:
        where = (*path, "overprint", "front", "inks")
        faults.add(where, "nothing_to_print", "Expected an ink on either side.")


def _check_inks(given: dict[str, Any], faults: Faults, path: Path) -> None:
    for side in ("front", "back"):
        inks = (given.get(side) or {}).get("inks") or []
        for index in _repeated(inks):
            where = (*path, side, "inks", index)
            faults.add(where, "same_ink_twice", "This ink stands before on the same side.")
    _check_heaviest(given, faults, path)
    known = "front" in given and "back" in given
    if not known or not faults.clear_of((*path, "front"), (*path, "back")):
        return
    if not given["front"]["inks"] and not given["back"]["inks"]:
        faults.add((*path, "front", "inks"), "nothing_to_print", "Expected an ink on either side.")


def _check_heaviest(given: dict[str, Any], faults: Faults, path: Path) -> None:
    """The heaviest spot of a side holds at least its average."""
    for name in ("front", "back"):
        side = given.get(name) or {}
        if side.get("heaviest_pct") is None or not faults.clear_of((*path, name)):
            continue
        average = _side(side).average_coverage_pct
        if side["heaviest_pct"] < average - 1e-6:
            detail = f"Expected at least the average of the side, {average:g} %."
            faults.add((*path, name, "heaviest_pct"), "out_of_range", detail)


def _check_kept(names: Sequence[Any], plant: Plant | None, faults: Faults, path: Path) -> None:
    """Carriers are named by the press that they are made for, and their layout."""
    if plant is None:
        return
    presses = [each.press.id for each in plant.presses]
    for index, name in enumerate(names):
        if name is not None and name.partition(":")[0] not in presses:
            detail = (
                "Expected a carriers_id from an answer: a press of this plant, ':', its layout."
            )
            faults.add((*path, index), "unknown_press", detail)


def _check_previous(jobs: Sequence[Any], plant: Plant, faults: Faults) -> None:
    """What ran before ran on a press of the plant, on a stock of the plant where it is told."""
    presses = [each.press.id for each in plant.presses]
    named: set[str | None] = set()
    for index, given in enumerate(jobs):
        path: Path = ("job", "previous", index)
        press, stock = (given or {}).get("press"), (given or {}).get("stock")
        if press is not None and press not in presses:
            detail = f"This plant has none; there is {', '.join(presses)}."
            faults.add((*path, "press"), "unknown_press", detail)
        if press is not None and press in named:
            detail = "This press stands before: it printed one job last."
            faults.add((*path, "press"), "same_press_twice", detail)
        named.add(press)
        for ink in _repeated((given or {}).get("inks") or []):
            where = (*path, "inks", ink)
            faults.add(where, "same_ink_twice", "This ink stands before on the same press.")
        if stock and stock not in plant.stocks:
            detail = f"No stock has this id; {near_names(stock, plant.stocks)}."
            faults.add((*path, "stock"), "unknown_stock", detail)


def _repeated(inks: list[Any]) -> Iterator[int]:
    """Indices of inks whose name stands earlier in the list; faulty items are passed over."""
    seen: set[str] = set()
    for index, each in enumerate(inks):
        ink = getattr(each, "ink", each)  # an ink of a side tells its coverage too
        if not isinstance(ink, Ink):
            continue
        if ink.name in seen:
            yield index
        seen.add(ink.name)


def near_names(asked: str, known: Iterable[str]) -> str:
    """Say what there is instead of a name: all where they are few, else those that come near."""
    names = list(known)
    if len(names) <= MOST_NAMES_TOLD:
        return f"there is {', '.join(names)}"
    near = get_close_matches(asked, names, MOST_NAMES_TOLD // 2) or names[:MOST_NAMES_TOLD]
    return f"of {len(names)} there is {', '.join(near)}; GET /plants/{{id}} lists all"
