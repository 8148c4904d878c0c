"""The stock of a MediaIntent: by the plant's id, or by grade, finish and weight."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from ...stock import Stock
from ..faults import Path
from .draft import Draft
from .notes import Node
from .points import exact, plain
from .words import COATINGS, FINISHES, GRADES, MEDIA_TYPES, SUBSTRATE_GRADES, SUBSTRATES

Stocks = Mapping[str, Stock]
_BOUGHT = "The stock is priced as the plant buys it."


class _Kind(NamedTuple):
    """What a stock is: grade and finish, "" where not told; and where the document says it."""

    grade: str
    finish: str
    source: Path


def read_stock(media: Node, part: Draft, stocks: Stocks) -> None:
    """Put the stock of a part. stocks: those of the plant, by id, whose own names are known"""
    stock = part.draft("stock", media.path)
    weight = media.number("Weight")
    for name in ("BuyerSupplied", "PrePrinted"):
        if media.flag(name):
            media.warn(name, "ignored", _BOUGHT)
    kind = _kind(media, stocks)
    named = media.text("MediaQuality")
    if named is not None and named in stocks:
        stock.put("id", named, media.at("MediaQuality"))
        _compare(media, stocks[named], weight, kind)
        return
    if named is not None:
        detail = "The plant has no stock of this id: it is found by grade and weight."
        media.warn("MediaQuality", "unknown_value", detail)
    stock.expect("grammage_gsm", media.at("Weight"))
    if weight is not None:
        stock.put("grammage_gsm", plain(exact(weight), 4), media.at("Weight"))
    stock.expect("grade", kind.source)
    if kind.grade:
        stock.put("grade", kind.grade, kind.source)
    if kind.finish:
        stock.put("finish", kind.finish, media.at("Coating"))
    _own_finish(media, stock, stocks)


def _kind(media: Node, stocks: Stocks) -> _Kind:
    material = media.word("MediaType", MEDIA_TYPES, required=True)
    where = media.at("MediaType")
    coating = media.word("Coating", COATINGS)
    _check_back(media, coating)
    own = _own_grade(media, stocks)
    finish = FINISHES.get(coating or "", "")
    if own:
        return _Kind(own, finish, media.at("MediaTypeDetails"))
    if material is None:
        return _Kind("", "", where)
    if material == "Paper":
        return _paper(media, coating)
    if material not in GRADES:
        media.fault("MediaType", "unsupported", "It is nothing that is printed on here.")
        return _Kind("", "", where)
    return _Kind(GRADES[material], finish, where)


def _paper(media: Node, coating: str | None) -> _Kind:
    substrate = media.word("ISOPaperSubstrate", SUBSTRATES)
    if coating == "None":
        grade = SUBSTRATE_GRADES.get(substrate or "", ("uncoated", ""))[0]
        if grade == "coated":
            detail = "Coating says that it has none: that is taken."
            media.warn("ISOPaperSubstrate", "ignored", detail)
            grade = "uncoated"
        return _Kind(grade, "", media.at("Coating"))
    if coating is not None:
        if substrate is not None:
            detail = "Coating tells the grade."
            media.warn("ISOPaperSubstrate", "ignored", detail)
        return _Kind("coated", FINISHES.get(coating, ""), media.at("Coating"))
    if substrate is not None:
        grade, finish = SUBSTRATE_GRADES[substrate]
        detail = f"Read as {' '.join((grade, finish)).strip()} paper."
        media.warn("ISOPaperSubstrate", "assumed", detail)
        return _Kind(grade, finish, media.at("ISOPaperSubstrate"))
    detail = "No Coating is told: read as uncoated paper."
    media.notes.warn(media.path, "assumed", detail)
    return _Kind("uncoated", "", media.path)


def _check_back(media: Node, coating: str | None) -> None:
    back = media.word("BackCoating", COATINGS)
    if back is not None and back != coating:
        detail = "The stock is found by the Coating of its front: name one of the plant's instead."
        media.warn("BackCoating", "ignored", detail)


def _own_grade(media: Node, stocks: Stocks) -> str:
    """Return the grade of the plant that MediaTypeDetails names, "" if none."""
    named = media.text("MediaTypeDetails")
    if named is None:
        return ""
    grades = {stock.grade.casefold(): stock.grade for stock in stocks.values()}
    found = grades.get(named.casefold(), "")
    if not found:
        detail = "The plant has no grade of this name: MediaType and Coating tell the grade."
        media.warn("MediaTypeDetails", "unknown_value", detail)
    return found


def _own_finish(media: Node, stock: Draft, stocks: Stocks) -> None:
    """Put the finish of the plant that Texture names, if it names one of the grade."""
    named = media.text("Texture")
    if named is None:
        return
    finishes = {
        each.finish.casefold(): each.finish
        for each in stocks.values()
        if each.grade == stock.members.get("grade")
    }
    if named.casefold() in finishes:
        stock.put("finish", finishes[named.casefold()], media.at("Texture"))
    else:
        media.warn("Texture", "unknown_value", "The grade has no finish of this name here.")


def _compare(media: Node, stock: Stock, weight: int | float | None, kind: _Kind) -> None:
    """Tell what is said of a stock named by its id, and is not so."""
    if weight is not None and weight != stock.grammage_gsm:
        detail = f"MediaQuality names the stock, which has {stock.grammage_gsm:g} g/m2."
        media.warn("Weight", "ignored", detail)
    texture = media.text("Texture")
    if texture is not None and texture.casefold() != stock.finish.casefold():
        detail = f"MediaQuality names the stock, whose finish is {stock.finish or 'not told'}."
        media.warn("Texture", "ignored", detail)
    if kind.grade != stock.grade or kind.finish not in ("", stock.finish):
        detail = f"MediaQuality names the stock, which is {stock.grade} {stock.finish}".strip()
        media.notes.warn(kind.source, "ignored", f"{detail}.")
