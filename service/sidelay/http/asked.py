"""What a request asks: a job, the plant to price it on, and how to show the answer."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import orjson

from ..job import Job
from ..plant import Plant
from ..ranking import BY_PRICE, RankBy
from ..timing import Timing
from .faults import Fault, Faults
from .job_reader import read_job
from .product_intent import Given
from .quote_writer import QuoteWriter
from .revisions import NoSuchRevision
from .schemas.request import load_request
from .service import Service
from .timing_reader import read_timing

# What the answer hangs on takes some hundredths of a second for each quantity. Where binders
# compete, every part is looked at with all the others beside it: five parts take 15 to 20 seconds,
# eight more than a worker has for an answer.
MOST_EXPLAINED = 20
MOST_BOUND_EXPLAINED = 5


@dataclass(frozen=True, slots=True)
class Asked:
    """A request, understood.

    fingerprint: 16 hexadecimal digits that tell one job member from another
    processes, presses: filters; empty lets all compete
    detail: "price", "lines" or "trace"
    start, up_to: first and last quantity of the bands
    explain: which of compare.EXPLAINED to add
    rank_by: what the choices of a comparison are ranked by
    timing: its clock, its due date, and the queues that it tells
    clock_given: whether that clock is the request's own, and not the service's
    quotes: signs prices; None where no quotes are asked for
    given: the request as it was sent
    is_old: whether the plant is one that was replaced since
    versions: of the service and its plug-ins, on which the answer depends
    """

    job: Job
    plant: Plant
    fingerprint: str
    processes: tuple[str, ...]
    presses: tuple[str, ...]
    detail: str
    up_to: int
    curves: bool
    start: int = 1
    explain: tuple[str, ...] = ()
    rank_by: RankBy = BY_PRICE
    timing: Timing = field(kw_only=True)
    clock_given: bool = field(kw_only=True)
    quotes: QuoteWriter | None = field(default=None, kw_only=True)
    given: Given = field(default_factory=lambda: Given({}), kw_only=True)
    versions: Mapping[str, Any] = field(default_factory=dict, kw_only=True)
    is_old: bool = field(default=False, kw_only=True)

    def quote(self, quantity: int, net: str) -> dict[str, Any]:
        """Return the member `quote` of an offer; no member where none is asked for."""
        return {"quote": self.quotes.write(quantity, net)} if self.quotes else {}


def read_asked(
    body: Mapping[str, Any],
    service: Service,
    of_query: Sequence[Fault] = (),
    group: str = "",
    *,
    most_quantities: int | None = None,
) -> Asked:
    """Return what a body asks. Raises InvalidRequest with every fault, the plant's included.

    of_query: faults found before, told along with those of the body
    group: customer group that it is priced for, "" for everyone
    most_quantities: that its caller may ask at once; None for as many as any request may
    """
    data, found = load_request(body)
    faults = Faults([*of_query, *found])
    plant = _plant(data, service, group, faults)
    if plant is not None:
        _check_filters(data, plant, faults)
    _check_quantities(data, most_quantities, faults)
    _check_bounds(data, faults)
    _check_explain(data, faults)
    _check_quotes(data, service, plant, faults)
    timing = read_timing(data, plant, service.clock, faults)
    job = read_job(data, plant, faults)
    assert plant is not None  # noqa: S101  read_job raises when it is
    told = fingerprint(body["job"])
    return Asked(
        job=job,
        plant=plant,
        fingerprint=told,
        processes=tuple(data["processes"]),
        presses=tuple(data["presses"]),
        detail=data["detail"],
        up_to=data["up_to"],
        curves=data["curves"],
        start=data["from_"],
        explain=tuple(data["explain"]),
        rank_by=RankBy(**data["rank_by"]) if "rank_by" in data else BY_PRICE,
        timing=timing,
        clock_given="as_of" in data,
        quotes=service.quote_writer(plant, group, told, timing.as_of) if data["quotes"] else None,
        given=Given(body),
        versions=service.versions,
        is_old=service.is_old(plant),
    )


def _check_quotes(
    data: Mapping[str, Any], service: Service, plant: Plant | None, faults: Faults
) -> None:
    """A quote runs from the service's clock, that of a request could lie anywhere; and from now.

    A price of an old plant file would be superseded as soon as it is quoted.
    """
    if not data.get("quotes"):
        return
    if not service.quotes.are_signed:
        faults.add(("quotes",), "no_quote_keys", "This service signs no quotes: leave it out.")
    elif "as_of" in data:
        detail = "A quote runs from the service's own clock: leave out as_of, or quotes."
        faults.add(("quotes",), "conflicting_members", detail)
    elif plant is not None and service.is_old(plant):
        detail = "Prices of an old revision are not quoted: leave out plant_revision, or quotes."
        faults.add(("quotes",), "conflicting_members", detail)


def _check_quantities(data: Mapping[str, Any], most: int | None, faults: Faults) -> None:
    path = ("job", "quantities")
    if most is None or not faults.clear_of(path):
        return
    job = data.get("job")
    count = len(job.get("quantities", ())) if isinstance(job, dict) else 0
    if count > most:
        detail = f"Expected at most {most:,} for whoever asks here, not {count:,}."
        faults.add(path, "too_many", detail)


def _check_bounds(data: Mapping[str, Any], faults: Faults) -> None:
    if faults.clear_of(("from",), ("up_to",)) and data["from_"] > data["up_to"]:
        detail = f"Expected at most up_to, {data['up_to']:,}; bands run from one to the other."
        faults.add(("from",), "above_up_to", detail)


def _check_explain(data: Mapping[str, Any], faults: Faults) -> None:
    if not faults.clear_of(("explain",), ("job",)):
        return
    job = data["job"]
    if "sensitivity" not in data["explain"]:
        return
    quantities, parts = len(job["quantities"]), len(job["parts"])
    if quantities > MOST_EXPLAINED:
        detail = f"Sensitivity is told of at most {MOST_EXPLAINED} quantities, not of {quantities}."
        faults.add(("explain",), "too_many", detail)
    elif job.get("binding") and parts > MOST_BOUND_EXPLAINED:
        most = MOST_BOUND_EXPLAINED
        detail = f"Sensitivity is told of at most {most} parts of a bound job, not of {parts}."
        faults.add(("explain",), "too_many", detail)


def fingerprint(job: Mapping[str, Any]) -> str:
    """Return 16 hexadecimal digits of the SHA-256 of a job member, its members sorted."""
    canonical = orjson.dumps(job, option=orjson.OPT_SORT_KEYS)
    return hashlib.sha256(canonical).hexdigest()[:16]


def _plant(
    data: Mapping[str, Any], service: Service, group: str, faults: Faults
) -> Plant | None:
    if not faults.clear_of(("plant",)):
        return None
    asked = data.get("plant", service.default_plant)
    if asked not in service.plants:
        known = ", ".join(service.plants)
        faults.add(("plant",), "unknown_plant", f"No plant has this id; there is {known}.")
        return None
    if not faults.clear_of(("plant_revision",)):
        return None
    try:
        return service.plant_at(asked, data.get("plant_revision", ""), group)
    except NoSuchRevision as fault:
        faults.add(("plant_revision",), fault.code, str(fault))
        return None


def _check_filters(data: Mapping[str, Any], plant: Plant, faults: Faults) -> None:
    pairs = [(installed.process, installed.press.id) for installed in plant.presses]
    processes, presses = (dict.fromkeys(column) for column in zip(*pairs, strict=True))
    for member, code, known in (
        ("processes", "unknown_process", processes),
        ("presses", "unknown_press", presses),
    ):
        for index, name in enumerate(data.get(member) or ()):
            if name is not None and name not in known:
                detail = f"This plant has none; there is {', '.join(known)}."
                faults.add((member, index), code, detail)
    if faults.clear_of(("processes",), ("presses",)) and not any(
        process in (data["processes"] or processes) and press in (data["presses"] or presses)
        for process, press in pairs
    ):
        detail = "None of these presses runs one of these processes."
        faults.add(("presses",), "no_press_left", detail)
