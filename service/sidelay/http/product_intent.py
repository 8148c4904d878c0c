"""A request as it was sent: with a job, or with an XJDF document that a job is read from.

A document stands in the member `xjdf`, beside any other member of a request but `job`, or is the
whole body. Faults and warnings point into what was sent.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from .faults import Fault, Faults, InvalidRequest, Path
from .revisions import NoSuchRevision
from .schemas.request import load_request
from .service import Service
from .xjdf import Ignored, ProductRead, in_document, read_product

DOCUMENT, QUANTITIES, JOB = "xjdf", "quantities", "job"
ROOT_NAME = "XJDF"
_JOB_QUANTITIES: Path = (JOB, QUANTITIES)


@dataclass(frozen=True, slots=True)
class Given:
    """A request as a body with a job, and where its members stand in what was sent.

    body: members of a request, `job` among them where there is one
    document: the XJDF document that the job was read from; None for a job
    prefix: path of the document in what was sent
    read_from: paths in the body -> paths in the document
    elsewhere: the same for members that were sent beside the document
    warnings: members of the document without effect, by their paths in what was sent
    """

    body: Mapping[str, Any]
    document: Mapping[str, Any] | None = None
    prefix: Path = ()
    read_from: Mapping[Path, Path] = field(default_factory=dict)
    elsewhere: Mapping[Path, Path] = field(default_factory=dict)
    warnings: tuple[Ignored, ...] = ()

    def told(self, found: InvalidRequest) -> InvalidRequest:
        """Return faults of the body as faults of what was sent, in its order."""
        return _ordered(self.place(fault) for fault in found.faults)

    def place(self, fault: Fault) -> Fault:
        """Return a fault of the body where it stands in what was sent."""
        if self.document is None or fault.parameter:
            return fault
        for inside, outside in self.elsewhere.items():
            if fault.path[: len(inside)] == inside:
                rest = fault.path[len(inside) :]
                return replace(fault, path=(*outside, *rest))
        if not self._is_read(fault.path):
            return fault
        found = in_document(fault, self.read_from)
        # What stands nowhere in the document is a fault of all of it.
        path = () if found.path == fault.path else found.path
        return replace(fault, path=(*self.prefix, *path))

    def _is_read(self, path: Path) -> bool:
        """Whether the member of the body at a path was read from the document."""
        return path[:1] == (JOB,) or any(path[: len(each)] == each for each in self.read_from)


def read_given(
    body: Mapping[str, Any],
    service: Service,
    of_query: Sequence[Fault] = (),
    *,
    whole: bool = False,
) -> Given:
    """Return a request with the job that it holds. Raises InvalidRequest with every fault of it.

    of_query: faults found before, told along with those of a document
    whole: whether the body was sent as a document, whatever it says of itself
    """
    if whole or body.get("Name") == ROOT_NAME:
        return _given(body, {}, (), service, of_query)
    beside = {name: value for name, value in body.items() if name != DOCUMENT}
    if body.get(DOCUMENT) is None:
        return Given(beside)
    return _given(body[DOCUMENT], beside, (DOCUMENT,), service, of_query)


def pointed_at(ignored: Ignored) -> str:
    """Return where a warning stands, as faults tell it."""
    return Fault(ignored.path, ignored.code, ignored.detail).pointer


def _given(
    document: Any,
    beside: Mapping[str, Any],
    prefix: Path,
    service: Service,
    of_query: Sequence[Fault],
) -> Given:
    found = []
    if beside.get(JOB) is not None:
        detail = "A job and a document say what is wanted twice: leave one of them out."
        found.append(Fault((JOB,), "conflicting_members", detail))
    others = {name: value for name, value in beside.items() if name not in (JOB, QUANTITIES)}
    asked, read = beside.get(QUANTITIES), None
    if isinstance(document, Mapping):
        try:
            read = _read(document, beside, service)
        except InvalidRequest as refused:
            found += [replace(each, path=(*prefix, *each.path)) for each in refused.faults]
    else:
        found.append(Fault(prefix, "not_an_object", "Expected an XJDF document, an object."))
    if found or read is None:
        raise _ordered([*of_query, *found, *_of_others(others, asked)])
    return _joined(document, read, others, asked, prefix)


def _read(
    document: Mapping[str, Any], beside: Mapping[str, Any], service: Service
) -> ProductRead:
    """Return what a document asks of the plant that is named beside it. Raises InvalidRequest.

    Where no such plant or revision is there, which is a fault of its own, it is read as of the
    default plant, or as of the current revision.
    """
    named, revision = (_text(beside.get(name)) for name in ("plant", "plant_revision"))
    plant_id = named if named in service.plants else service.default_plant
    try:
        plant = service.plant_at(plant_id, revision, "")
    except NoSuchRevision:
        plant = service.plants[plant_id]
    return read_product(document, service.run_by(plant), plant.stocks)


def _text(value: Any) -> str:
    return value if isinstance(value, str) else ""


def _joined(
    document: Mapping[str, Any],
    read: ProductRead,
    others: Mapping[str, Any],
    asked: Any,
    prefix: Path,
) -> Given:
    """Return what is read from a document with what stands beside it, which counts first."""
    body, warnings = dict(read.body), list(read.warnings)
    elsewhere: dict[Path, Path] = {}
    for name, value in others.items():
        if name in body and value:
            elsewhere[(name,)] = (name,)
            warnings += _overruled(read, (name,), f"the member {name} beside the document counts")
        if value or name not in body:
            body[name] = value
    if asked is not None:
        body[JOB] = {**body[JOB], QUANTITIES: asked}
        elsewhere[_JOB_QUANTITIES] = (QUANTITIES,)
        warnings += _overruled(read, _JOB_QUANTITIES, "the quantities beside the document count")
    placed = [Ignored((*prefix, *each.path), each.code, each.detail) for each in warnings]
    return Given(body, document, prefix, read.origins, elsewhere, tuple(placed))


def _overruled(read: ProductRead, path: Path, why: str) -> list[Ignored]:
    """Return the warning on a member of the document that something beside it stands for."""
    found = [place for inside, place in read.origins.items() if inside[: len(path)] == path]
    return [Ignored(place, "ignored", f"Without effect: {why}.") for place in found[:1]]


def _of_others(others: Mapping[str, Any], asked: Any) -> Iterator[Fault]:
    """Yield the faults of what stands beside a document."""
    job = {QUANTITIES: [1] if asked is None else asked}
    for fault in load_request({**others, JOB: job})[1]:
        if fault.path[:2] == _JOB_QUANTITIES:
            yield replace(fault, path=fault.path[1:])
        elif fault.path[:1] != (JOB,):
            yield fault


def _ordered(found: Iterable[Fault]) -> InvalidRequest:
    """Return faults, of which there is one at least, in the order of their paths."""
    faults = Faults(found)
    try:
        faults.stop()
    except InvalidRequest as told:
        return told
    raise AssertionError("no fault to tell")
