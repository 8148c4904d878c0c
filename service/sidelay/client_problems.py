"""What the client raises: the service refused, or none answered."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

import requests

from .client_retries import retry_after_s

# What RFC 9457 (4.2.1) takes the type for where a problem, or a proxy, names none.
NO_TYPE = "about:blank"


class ProblemError(Exception):
    """The service refused a request, or failed at it.

    status: the HTTP status; 422 when faults are listed, 5xx when the request is not to blame
    title: what kind of problem it is, in words
    detail: what it was this time; may be empty
    errors: every fault found, each with `pointer` (a JSON Pointer into the body, as `#/job/parts`),
        `code` and `detail`, and `parameter` where a query parameter is at fault; empty for other
        problems
    request_id: finds the request in the log of the service; may be empty
    members: all members of the problem as they came; empty where something else answered
    retry_after_s: what the service asks to be waited before the next attempt [s]; None for nothing
    """

    def __init__(
        self,
        status: int,
        title: str,
        detail: str = "",
        errors: Sequence[Mapping[str, str]] = (),
        request_id: str = "",
        members: Mapping[str, Any] = MappingProxyType({}),
        retry_after_s: float | None = None,
    ) -> None:
        super().__init__(f"{status} {title}" + (f": {detail}" if detail else ""))
        self.status = status
        self.title = title
        self.detail = detail
        self.errors = tuple(errors)
        self.request_id = request_id
        self.members = members
        self.retry_after_s = retry_after_s

    @property
    def type(self) -> str:
        """The URI of the kind of problem: stable, so it is what to compare, and never the title."""
        return str(self.members.get("type") or NO_TYPE)

    def faults_at(self, pointer: str) -> list[Mapping[str, str]]:
        """Return the faults of a member of the body and of all inside it.

        pointer: as of a fault: `#/job/parts/0` is for whatever is wrong with the first part; `#`
            for all faults of the body
        """
        return [
            fault
            for fault in self.errors
            if "parameter" not in fault and f"{fault['pointer']}/".startswith(f"{pointer}/")
        ]


class Unreachable(Exception):  # noqa: N818  (a state of the network, named as such)
    """No answer of the service came: nothing listens, the time ran out, or something else answered.

    The message is one sentence that names the URL.
    """


def is_refused(response: requests.Response) -> bool:
    """Whether a response tells a problem. A redirect does, for none is followed."""
    return not response.ok or response.is_redirect


def json_of(response: requests.Response) -> object:
    """Return what a response holds, None where that is no JSON."""
    try:
        answer: object = response.json()
    except requests.JSONDecodeError:
        return None
    return answer


def problem_of(response: requests.Response) -> ProblemError:
    """Return the problem of a response; whatever a proxy answers in its place becomes one too."""
    answer = json_of(response)
    told: dict[str, Any] = answer if isinstance(answer, dict) else {}
    detail = str(told.get("detail", ""))
    if response.is_redirect:
        detail = f"It points to {response.headers['Location']}."
    return ProblemError(
        response.status_code,
        str(told.get("title") or response.reason),
        detail,
        _faults(told.get("errors")),
        str(told.get("request_id") or response.headers.get("X-Request-Id", "")),
        told,
        retry_after_s(response.headers, time.time()),
    )


def _faults(errors: object) -> list[dict[str, str]]:
    """Return the faults of a problem, each with the three members promised, and its parameter."""
    listed = errors if isinstance(errors, list) else []
    return [
        {name: str(fault.get(name, "")) for name in ("pointer", "code", "detail")}
        | ({"parameter": str(fault["parameter"])} if fault.get("parameter") else {})
        for fault in listed
        if isinstance(fault, dict)
    ]
