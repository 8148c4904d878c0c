"""Adapters for queues of one server; a case's unit of time goes through unchanged."""

from __future__ import annotations

from typing import Any

from reference.given import Inputs
from reference.register import Figures, answers
from sidelay.queues import MM1, kingman_wait_h, mm1_wait

MOST_JOBS = 20  # the probabilities P0 to P20 are told


@answers("M/M/1")
def single_server(inputs: Inputs) -> Figures:
    queue = MM1(inputs["lam"], inputs["mu"])
    return {
        "rho": queue.utilisation,
        "Lq": queue.jobs_waiting,
        "L": queue.jobs_there,
        "Wq": mm1_wait(inputs["lam"], inputs["mu"]),
        "W": queue.stay,
        **{f"P{jobs}": queue.probability(jobs) for jobs in range(MOST_JOBS + 1)},
    }


@answers("Kingman U term")
def utilisation_term(inputs: Inputs) -> Figures:
    """The wait in jobs of one hour of variation 1, to 4 places as printed, and what cuts save."""
    shares = inputs["u"] if isinstance(inputs["u"], list) else [inputs["u"]]
    waits = {share: kingman_wait_h(share, 1.0, 1.0) for share in shares}
    cuts: dict[str, Any] = {
        f"queue_cut_{before * 100:.0f}_to_{after * 100:.0f}": 1 - waits[after] / waits[before]
        for before in shares
        for after in shares
        if before > after
    }
    told = [round(wait, 4) for wait in waits.values()]
    return {"multiplier": told if isinstance(inputs["u"], list) else told[0], **cuts}


@answers("Kingman against M/M/1")
def kingman(inputs: Inputs) -> Figures:
    variation = (inputs["ca2"] + inputs["cs2"]) / 2
    return {"Wq": kingman_wait_h(inputs["u"], inputs["t"], variation)}
