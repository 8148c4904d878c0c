"""What the service counts, in the text format of Prometheus: requests, and what was kept and found.

With several workers PROMETHEUS_MULTIPROC_DIR names a folder that they count in together; `sidelay
serve` makes one. It must be set before this module is imported.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping

from flask import Flask, Response, request
from prometheus_client import CONTENT_TYPE_LATEST, CollectorRegistry, Counter, generate_latest
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

from ..worker_counts import METRICS_FOLDER, reading_counts

UNKNOWN_ROUTE = "none"  # paths that lead nowhere are one series, however many they are

_own = CollectorRegistry()
_requests = Counter(
    "sidelay_requests",
    "Requests that were answered, by route, method and status.",
    ("route", "method", "status"),
    registry=_own,
)
_kept = Counter(
    "sidelay_kept",
    "Looks into what is kept: answers, prices of lists, plans (compiled routes); found or missing.",
    ("store", "outcome"),
    registry=_own,
)
_reloads = Counter(
    "sidelay_reloads",
    "Reloads of plants, catalogues and the access file: done, or refused for a fault in one.",
    ("outcome",),
    registry=_own,
)
_lines = Counter(
    "sidelay_batch_lines",
    "Lines of batches that were answered, by what they ask and status.",
    ("ask", "status"),
    registry=_own,
)


def count_reload(outcome: str) -> None:
    """Count a reload. outcome: done or refused"""
    _reloads.labels(outcome).inc()


def count_line(ask: str, status: int) -> None:
    """Count a line of a batch. ask: one of a closed list"""
    _lines.labels(ask, str(status)).inc()


def looks_into(store: str) -> Callable[[bool], None]:
    """Return what counts a look into a store; it is called with whether something was found."""
    found, missing = _kept.labels(store, "found"), _kept.labels(store, "missing")
    return lambda was_found: (found if was_found else missing).inc()


def count_requests(app: Flask) -> None:
    """Count every answer of an app."""
    app.after_request(_count)


def _count(response: Response) -> Response:
    route = request.url_rule.rule if request.url_rule else UNKNOWN_ROUTE
    method = request.method if request.url_rule else UNKNOWN_ROUTE
    _requests.labels(route, method, str(response.status_code)).inc()
    return response


class _Served(Collector):
    """The plants served, as a gauge that is always 1: its labels say what there is to say.

    Not among the counts of a process: all workers serve the same, and a revision that has gone
    would go on being told there.
    """

    def __init__(self, revisions: Mapping[str, str]) -> None:
        self._revisions = revisions

    def collect(self) -> Iterator[Metric]:
        """Yield the gauge; prometheus_client calls this."""
        told = "The revision of each plant that is served; always 1."
        gauge = GaugeMetricFamily("sidelay_plant_revision_info", told, labels=["plant", "revision"])
        for plant_id, revision in self._revisions.items():
            gauge.add_metric([plant_id, revision], 1)
        yield gauge


def exposition(revisions: Mapping[str, str]) -> Response:
    """Return all counts, those of other workers too where they share a folder.

    revisions: of the plants served, by their ids
    """
    registry = _own
    if METRICS_FOLDER in os.environ:
        registry = CollectorRegistry()
        MultiProcessCollector(registry)  # type: ignore[no-untyped-call]
    served = CollectorRegistry()
    served.register(_Served(revisions))
    with reading_counts():
        told = generate_latest(registry) + generate_latest(served)
    return Response(told, content_type=CONTENT_TYPE_LATEST)
