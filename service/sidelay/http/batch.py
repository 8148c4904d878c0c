"""Answers a batch line by line, each as its request alone would be answered.

What goes wrong with one line is told in its place, and the next one is answered.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from ..heartbeat import beat
from .answering import Answered, compared, estimated, understood, validated
from .asked import Asked
from .batch_lines import Line
from .callers import Caller
from .faults import Fault, InvalidRequest
from .gate import Meter
from .metrics import count_line
from .problems import Problem, problem_of
from .render import to_json
from .service import Service

OK, REFUSED, FAILED = 200, 400, 500
RETRY_AFTER = "Retry-After"
# Lines whose ask cannot be read are counted as one series, whatever they ask.
UNKNOWN_ASK = "none"

log = logging.getLogger(__name__)

_ANSWERS: Mapping[str, Callable[[Asked, Service, Caller], Answered]] = {
    "estimate": estimated,
    "compare": compared,
    "validate": lambda asked, _service, _who: validated(asked),
}


@dataclass(frozen=True)
class Batch:
    """A batch that is asked for.

    lines: those still to be answered, in order
    meter: counts each of them but the first, which the request itself was counted for
    """

    lines: Iterator[Line]
    service: Service
    who: Caller
    meter: Meter
    request_id: str

    def skip(self, last_id: str) -> None:
        """Leave out all lines up to the one of an id, and that. Raises InvalidRequest for none."""
        if not any(line.id == last_id for line in self.lines):
            detail = f"No line of this batch has the id {last_id[:200]!r}."
            raise InvalidRequest([Fault((), "unknown_line", detail, "after")])

    def answers(self) -> Iterator[bytes]:
        """Yield an answer for each line as it is worked out, and at last what they come to."""
        counted = {OK: 0, REFUSED: 0, FAILED: 0}
        for place, line in enumerate(self.lines):
            beat()  # a long batch takes longer than a worker may be silent
            status, told = self._answer(line, is_paid=place == 0)
            count_line(line.ask or UNKNOWN_ASK, status)
            counted[FAILED if status >= FAILED else REFUSED if status >= REFUSED else OK] += 1
            yield to_json({"line": line.number, "id": line.id, "status": status, **told}) + b"\n"
        answered, refused, failed = counted.values()
        yield to_json(
            {
                "done": True,
                "lines": sum(counted.values()),
                "answered": answered,
                "refused": refused,
                "failed": failed,
            }
        ) + b"\n"

    def _answer(self, line: Line, *, is_paid: bool) -> tuple[int, Mapping[str, Any]]:
        """Return the status of a line, and the further members of its answer."""
        try:
            if not is_paid:
                self.meter.charge()
            asked = understood(line.body(), self.service, self.who, line.faults)
            return OK, {"answer": _ANSWERS[line.ask](asked, self.service, self.who)}
        except (Problem, InvalidRequest) as fault:
            return self._refused(fault)
        except Exception as fault:  # a fault of ours costs this line, and never the others
            told = "request %s failed at line %d"
            log.error(told, self.request_id, line.number, exc_info=fault)
            return self._refused(fault)

    def _refused(self, fault: Exception) -> tuple[int, Mapping[str, Any]]:
        problem = problem_of(fault) | {"request_id": self.request_id}
        told: dict[str, Any] = {"problem": problem}
        if isinstance(fault, Problem) and RETRY_AFTER in fault.headers:
            told = {"retry_after_s": int(fault.headers[RETRY_AFTER])} | told
        return problem["status"], told
