"""The paths of the service. Each reads, calls one function and writes.

Query parameters are used by /compare and /plants/{id}, and ignored elsewhere.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, current_app, g, request

from . import catalogue
from .answering import compared, comparison_of, estimated, understood, validated
from .asked import Asked
from .callers import caller, needs
from .charts.facts import read_facts
from .csv_tables import write_table
from .exchange import offers, read_body
from .faults import Fault
from .intent_answers import comparison_quotation, estimate_quotation, product_answer
from .media_types import CSV, CSV_WITH_HEADER, JSON, PTK, SVG, XJDF
from .metrics import exposition
from .problems import PROBLEM_TYPES, Problem
from .render import to_json
from .schemas.catalogue import PlantSchema
from .scoped import check_drawn, check_shown, told_to
from .service import Service
from .shown import Shown, check_query, read_shown

EXTENSION = "sidelay"
# What does not change before the service starts anew, or reloads, may be kept for a minute.
KEPT = "private, max-age=60"
NEVER_KEPT = "no-store"
# The query parameter that names an old revision of a plant.
REVISION = "revision"

routes = Blueprint("sidelay", __name__)


def service_at_hand() -> Service:
    """Return the service of the app that answers."""
    service: Service = current_app.extensions[EXTENSION]
    return service


def _asked(of_query: Sequence[Fault] = ()) -> Asked:
    body = read_body(request, XJDF)
    document = request.mimetype == XJDF
    return understood(body, service_at_hand(), caller(), of_query, document=document)


def answer(told: Mapping[str, Any], cache: str | None = None, media_type: str = JSON) -> Response:
    """Return an answer as JSON. cache: its Cache-Control"""
    response = Response(to_json(told), mimetype=media_type)
    if cache:
        response.headers["Cache-Control"] = cache
    return response


@routes.post("/estimate")
@offers(JSON, XJDF, PTK)
def post_estimate() -> Response:
    """Price a job: for each quantity the best offer."""
    write = {XJDF: product_answer, PTK: estimate_quotation}.get(g.media_type, estimated)
    told = write(_asked(), service_at_hand(), caller())
    return answer(told, media_type=g.media_type)


@routes.post("/compare")
@offers(JSON, SVG, CSV, PTK)
def post_compare() -> Response:
    """Compare every press for a job, and tell which wins from which quantity to which."""
    asked, who = _asked(check_query(request.args)), caller()
    shown = read_shown(request.args, asked.job.quantities, costs=who.sees_costs)
    if g.media_type == SVG:
        check_drawn(request.args, who)
        return _picture(asked, shown)
    if g.media_type == CSV:
        asked = replace(asked, detail="price", curves=shown.table == "curves", explain=())
        told = compared(asked, service_at_hand(), who)
        table = write_table(shown.table, told, costs=who.sees_costs)
        return Response(table, content_type=CSV_WITH_HEADER)
    if g.media_type == PTK:
        return answer(comparison_quotation(asked, service_at_hand(), who), media_type=PTK)
    return answer(compared(asked, service_at_hand(), who))


def _picture(asked: Asked, shown: Shown) -> Response:
    """Draw a comparison; its curves are worked out for the picture alone."""
    explain = ("cost_bands",) if shown.measure == "cost" and shown.chart != "money" else ()
    result = comparison_of(replace(asked, curves=False), service_at_hand(), explain)
    facts = read_facts(result, asked, shown)
    from .charts.draw import draw  # a worker that never draws never loads what it takes

    response = Response(draw(facts), mimetype=SVG)
    # Where a browser opens it by itself, nothing in it runs or loads.
    response.headers["Content-Security-Policy"] = "sandbox"
    return response


@routes.post("/validate")
def post_validate() -> Response:
    """Check a request without pricing it."""
    return answer(validated(_asked()))


@routes.get("/processes")
def get_processes() -> Response:
    """List the processes that plug-ins model."""
    return answer(catalogue.list_processes(service_at_hand().processes), KEPT)


@routes.get("/processes/<process_id>")
def get_process(process_id: str) -> Response:
    """Show a process and what its presses are described by."""
    service = service_at_hand()
    shown = catalogue.show_process(process_id, service.processes, service.press_schemas)
    return answer(shown, KEPT)


@routes.get("/plants")
def get_plants() -> Response:
    """List the plants."""
    return answer(catalogue.list_plants(service_at_hand().plants), KEPT)


@routes.get("/plants/<plant_id>")
def get_plant(plant_id: str) -> Response:
    """Show a plant: its presses and its stocks."""
    service, who = service_at_hand(), caller()
    shown = catalogue.show_plant(plant_id, service, request.args.get(REVISION, ""))
    check_shown(who, is_old=shown["revision"] != service.plants[plant_id].revision)
    return answer(told_to(who, PlantSchema, shown), KEPT)


@routes.get("/problems/<problem_id>")
@needs(None)
def get_problem(problem_id: str) -> Response:
    """Explain a type of problem."""
    kind = PROBLEM_TYPES.get(problem_id)
    if kind is None:
        raise Problem("not_found", f"No such problem; there is {', '.join(PROBLEM_TYPES)}.")
    shown = {"type": kind.uri, "title": kind.title, "status": kind.status, "about": kind.about}
    return answer(shown, KEPT)


@routes.get("/openapi.json")
@needs(None)
def get_openapi() -> Response:
    """Return the OpenAPI document of this service."""
    return answer(service_at_hand().openapi, KEPT)


def _revisions() -> dict[str, str]:
    return {plant.id: plant.revision for plant in service_at_hand().plants.values()}


@routes.get("/metrics")
@offers("text/plain")
@needs("admin")
def get_metrics() -> Response:
    """Tell what is counted, for Prometheus."""
    response = exposition(_revisions())
    response.headers["Cache-Control"] = NEVER_KEPT
    return response


@routes.get("/livez")
@needs(None)
def get_livez() -> Response:
    """Say that the process answers."""
    return answer({"status": "alive"}, NEVER_KEPT)


@routes.get("/readyz")
@needs(None)
def get_readyz() -> Response:
    """Say what is loaded; a plug-in or a file that could not be used is told by name only."""
    service = service_at_hand()
    faults = sorted({fault.name for fault in service.processes.faults})
    return answer(
        {
            "status": "ready",
            "plants": list(service.plants),
            "processes": list(service.processes.about),
            "plugin_faults": faults,
            "revisions": _revisions(),
            "reload": catalogue.write_reload(service.reload) if service.reload else None,
        },
        NEVER_KEPT,
    )
