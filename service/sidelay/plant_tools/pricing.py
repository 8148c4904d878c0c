"""Prices on one plant file without a service running, as plain data: what /estimate answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..config import Settings
from ..http.access import Access
from ..http.answering import estimated, understood
from ..http.callers import Allowance, Caller
from ..http.faults import InvalidRequest
from ..http.kept_answers import kept_answers, kept_lists
from ..http.quotes import Quotes
from ..http.revisions import Revisions
from ..http.service import Service
from ..job import Job
from ..plan import Planner
from ..plant import Plant
from ..processes import Processes

Answer = Mapping[str, Any]
MOST_QUANTITIES = 10_000
# Members of a request that ask for what is of no use here, or for what is set here.
NOT_ASKED = ("detail", "plant", "quotes", "explain", "curves")


class PlantPricing:
    """One plant that prices requests, whatever plant they name; for whoever may see its costs.

    group: customer group that it prices for, "" for everyone
    """

    def __init__(self, plant: Plant, processes: Processes, group: str = "") -> None:
        self.plant, self._processes, self._group = plant, processes, group
        self._caller = Caller(
            "", frozenset({"price", "cost"}), group, Allowance(quantities=MOST_QUANTITIES)
        )
        self._service = Service(
            settings=Settings(),
            processes=processes,
            plants={plant.id: plant},
            planner=Planner(processes),
            default_plant=plant.id,
            products={},
            press_schemas={},
            openapi={},
            access=Access(None),
            quotes=Quotes(()),
            kept=kept_answers(),
            kept_lists=kept_lists(),
            version="",
            revisions=Revisions(None, processes),
        )

    def on(self, plant: Plant) -> PlantPricing:
        """Return the same for another plant."""
        return PlantPricing(plant, self._processes, self._group)

    def answer(
        self, body: Answer, *, detail: str = "trace", presses: Sequence[str] = ()
    ) -> dict[str, Any]:
        """Return the answer to a request, with the member `faults`: why there is none, if so.

        presses: those that compete, in place of what the request says
        """
        asked = self._asked(body, detail)
        if presses:
            asked["presses"] = list(presses)
        try:
            read = understood(asked, self._service, self._caller)
            return {**estimated(read, self._service, self._caller), "faults": []}
        except InvalidRequest as found:
            faults = [
                {"pointer": each.pointer, "code": each.code, "detail": each.detail}
                for each in found.faults
            ]
            return {"estimates": [], "findings": [], "excluded": [], "faults": faults}

    def job(self, body: Answer) -> Job | None:
        """Return the job of a request on this plant's stocks, None where it cannot be read."""
        try:
            return understood(self._asked(body, "price"), self._service, self._caller).job
        except InvalidRequest:
            return None

    def _asked(self, body: Answer, detail: str) -> dict[str, Any]:
        asked = {name: value for name, value in body.items() if name not in NOT_ASKED}
        return asked | {"detail": detail, "plant": self.plant.id}
