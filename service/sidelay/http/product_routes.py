"""The paths of products: read the query, look whether the answer is known, or work it out."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, Response, g, request

from .callers import caller
from .catalogues import Sold, request_for
from .conditional import (
    Keeping,
    Wanted,
    answered,
    tag_of,
    unless_kept,
    with_tag,
    without_tag,
)
from .exchange import offers, read_body
from .faults import Fault, InvalidRequest
from .media_types import CSV, CSV_WITH_HEADER, JSON, NDJSON
from .parameters import faulty_names
from .price_answer import price_answer
from .price_list import PriceList, read_price_list
from .problems import Problem
from .product_answer import list_products, show_product
from .quote_check import check_quote
from .render import to_json
from .routes import answer, service_at_hand
from .selection import LANGUAGE, QueryReader, language_of

product_routes = Blueprint("products", __name__)
MINUTE_S = 60
# What the list of products may be kept for [s]; it changes with a start or a reload.
LIST_AGE_S = 60
# Letters of a request that are kept beside its answer. A page's query has a hundred.
LONGEST_KEY = 500


def _sold(product_id: str) -> Sold:
    """Return a product. Raises Problem when there is none of this id."""
    sold = service_at_hand().products.get(product_id)
    if sold is None:
        raise Problem("not_found", f"No such product; there is {_known()}.")
    return sold


def _known() -> str:
    return ", ".join(service_at_hand().products) or "none: no plant has a catalogue"


def _key(*more: object) -> tuple[object, ...] | None:
    """Return what tells one request from another before it is read; None where that is long."""
    accepted = request.headers.get("Accept-Language", "")
    if len(accepted) + len(request.query_string) > LONGEST_KEY:
        return None  # its answer is still found by its tag; the store's bound stays one
    return (request.path, request.query_string, accepted, *more)


def _state(sold: Sold) -> tuple[str, ...]:
    """Return what the answers about a product rest on beside the request."""
    return service_at_hand().version, sold.plant.id, sold.plant.revision, sold.catalogue.revision


def _keeping(sold: Sold, max_age_s: int | None = None) -> Keeping:
    """Return how the caller's answers may be kept; what only it may know is never public."""
    told = sold.catalogue.max_age_s
    public = sold.catalogue.public and not caller().client
    return Keeping(public, told if max_age_s is None else min(told, max_age_s))


@product_routes.get("/products")
def get_products() -> Response:
    """List the products that can be bought by choosing."""
    return answered(_key(), service_at_hand().kept, Keeping(False, LIST_AGE_S), _read_products)


def _read_products() -> Wanted:
    service = service_at_hand()
    every = tuple(service.products.values())
    catalogues = {sold.plant.id: sold.catalogue for sold in every}
    languages = tuple(
        dict.fromkeys(tag for catalogue in catalogues.values() for tag in catalogue.languages)
    ) or ("en",)
    faults: list[Fault] = []
    language = language_of(
        request.args,
        request.accept_languages,
        languages,
        lambda name, code, detail: faults.append(Fault((), code, detail, name)),
    )
    faults += faulty_names(request.args, (LANGUAGE,))
    if faults:
        raise InvalidRequest(faults)
    revisions = [(plant, each.revision) for plant, each in catalogues.items()]
    return Wanted(
        ("products", service.version, revisions, language),
        language,
        lambda: (to_json(list_products(every, language, languages)), True),
    )


@product_routes.get("/products/<product_id>")
def get_product(product_id: str) -> Response:
    """Show a product, and which values of its options go with those chosen."""
    sold = _sold(product_id)

    def read() -> Wanted:
        selection = _reader(sold).selection(complete=False)
        return Wanted(
            ("product", _state(sold), product_id, selection.chosen, selection.language),
            selection.language,
            lambda: (to_json(show_product(sold, selection)), True),
        )

    return answered(_key(), service_at_hand().kept, _keeping(sold), read)


def _reader(sold: Sold) -> QueryReader:
    return QueryReader(sold.product, sold.catalogue, request.args, request.accept_languages)


@product_routes.get("/products/<product_id>/price")
def get_price(product_id: str) -> Response:
    """Price a product as it is chosen."""
    service, sold, who = service_at_hand(), _sold(product_id), caller()
    step_s = sold.catalogue.clock_step_min * MINUTE_S
    now = int(service.clock())
    slot = now - now % step_s

    def read() -> Wanted:
        selection = _reader(sold).selection(complete=True)
        as_of = slot if selection.as_of is None else selection.as_of
        chosen = selection.settled, selection.quantities, selection.language

        def make() -> tuple[bytes, bool]:
            priced = price_answer(sold, selection, as_of, service, who)
            return to_json(priced.answer), priced.may_be_kept

        canonical = ("price", _state(sold), product_id, chosen, who.group, as_of)
        return Wanted((*canonical, selection.as_of is None), selection.language, make)

    # A date is good until the clock's next step; so is what is kept of it.
    keeping = _keeping(sold, slot + step_s - now)
    return answered(_key(who.group, slot), service.kept, keeping, read)


@product_routes.get("/products/<product_id>/job")
def get_job(product_id: str) -> Response:
    """Return a choice as the body of a request to /estimate."""
    sold = _sold(product_id)

    def read() -> Wanted:
        selection = _reader(sold).selection(complete=True)
        chosen = selection.settled, selection.quantities
        return Wanted(
            ("job", _state(sold), product_id, chosen),
            "",
            lambda: (to_json(request_for(sold.product, *chosen)), True),
        )

    return answered(_key(), service_at_hand().kept, _keeping(sold), read)


@product_routes.get("/products/<product_id>/price-list")
@offers(JSON, CSV, NDJSON)
def get_price_list(product_id: str) -> Response:
    """Price every choice out of some, streamed."""
    service, sold, who = service_at_hand(), _sold(product_id), caller()
    wanted = read_price_list(_reader(sold), sold, who, service)
    canonical = ("price-list", _state(sold), product_id, wanted.canonical, who.group, g.media_type)
    tag, keeping = tag_of(canonical), _keeping(sold)
    known = unless_kept(tag, "", keeping)
    if known is not None:
        return known
    if not wanted.begins_whole():
        # What lacks a press has no tag: a tag means these bytes, and the press may come back.
        return without_tag(_streamed(replace(wanted, whole=False), g.media_type), "")
    return with_tag(_streamed(wanted, g.media_type), tag, "", keeping)


def _streamed(wanted: PriceList, media_type: str) -> Response:
    chunks = {CSV: wanted.as_csv, JSON: wanted.as_json, NDJSON: wanted.as_lines}[media_type]()
    told = CSV_WITH_HEADER if media_type == CSV else media_type
    return Response(chunks, content_type=told)


@product_routes.post("/quotes/check")
def post_quotes_check() -> Response:
    """Say whether a quoted price holds."""
    service = service_at_hand()
    return answer(check_quote(read_body(request), service, caller()))


