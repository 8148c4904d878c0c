"""The path of batches: takes the lines in, then answers them as they are worked out."""

from __future__ import annotations

from collections.abc import Iterator

from flask import Blueprint, Response, g, request

from .batch import Batch
from .batch_lines import Lines, read_lines, take_in
from .callers import caller
from .exchange import offers
from .faults import InvalidRequest
from .media_types import NDJSON
from .parameters import faulty_names
from .routes import service_at_hand

AFTER = "after"

batch_routes = Blueprint("batch", __name__)


@batch_routes.post("/batch")
@offers(NDJSON)
def post_batch() -> Response:
    """Answer many requests, a line each."""
    faults = list(faulty_names(request.args, (AFTER,)))
    if faults:
        raise InvalidRequest(faults)
    service = service_at_hand()
    lines = take_in(request, service.settings.max_batch_bytes)
    try:
        read = read_lines(lines, service.settings.max_body_bytes)
        batch = Batch(read, service, caller(), g.meter, g.request_id)
        if AFTER in request.args:
            batch.skip(request.args[AFTER])
    except BaseException:
        lines.close()
        raise
    response = Response(_until_done(batch, lines), mimetype=NDJSON)
    response.call_on_close(lines.close)  # of a client that leaves before the first answer
    return response


def _until_done(batch: Batch, lines: Lines) -> Iterator[bytes]:
    """Yield the answers; a client that hangs up ends this in their midst."""
    with lines:
        yield from batch.answers()
