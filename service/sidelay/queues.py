"""How long a job waits at a machine that is busy a share of its time: queues of one server.

M/M/1: arrivals at random, times of service distributed exponentially, first come first served
(standard queueing text: L. Kleinrock, Queueing Systems, volume 1, 1975, chapter 3). For other
distributions Kingman's approximation of the wait.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite


@dataclass(frozen=True, slots=True)
class MM1:
    """An M/M/1 queue in its steady state.

    arrival_rate, service_rate: jobs that arrive, and that a machine never idle would do, in a unit
        of time; waits are in that unit
    Raises ValueError for rates that are not positive, or when as many arrive as can be done: the
    queue then grows without end.
    """

    arrival_rate: float
    service_rate: float

    def __post_init__(self) -> None:
        if not (self.arrival_rate > 0 and isfinite(self.service_rate)):
            raise ValueError("an M/M/1 queue needs rates of arrival and service above 0")
        if not self.arrival_rate < self.service_rate:
            raise ValueError("fewer jobs must arrive than can be done, or the queue has no end")

    @property
    def utilisation(self) -> float:
        """Return rho, the share of its time that the machine is busy."""
        return self.arrival_rate / self.service_rate

    @property
    def wait(self) -> float:
        """Return Wq, the mean time from arrival to the start: rho / (mu - lambda)."""
        return self.utilisation / (self.service_rate - self.arrival_rate)

    @property
    def stay(self) -> float:
        """Return W, the mean time from arrival to the end: 1 / (mu - lambda)."""
        return 1 / (self.service_rate - self.arrival_rate)

    @property
    def jobs_waiting(self) -> float:
        """Return Lq, the mean number of jobs that wait: lambda Wq (Little's law)."""
        return self.arrival_rate * self.wait

    @property
    def jobs_there(self) -> float:
        """Return L, the mean number of jobs that wait or are worked on: lambda W (Little's law)."""
        return self.arrival_rate * self.stay

    def probability(self, jobs: int) -> float:
        """Return the probability that so many jobs are there: (1 - rho) rho^n.

        Raises ValueError for a number below 0.
        """
        if jobs < 0:
            raise ValueError("there are never fewer than 0 jobs")
        return (1 - self.utilisation) * self.utilisation**jobs


def mm1_wait(arrival_rate: float, service_rate: float) -> float:
    """Return the mean wait in an M/M/1 queue, in the rates' unit of time. Raises as MM1 does."""
    return MM1(arrival_rate, service_rate).wait


def kingman_wait_h(utilisation: float, mean_job_h: float, variation: float) -> float:
    """Return how long a job waits for a machine on average [h]: variation u / (1 - u) t.

    utilisation: u, share of its time that the machine is busy, 0 <= u < 1
    mean_job_h: t, how long it is busy with a job on average [h]
    variation: (ca2 + cs2) / 2, of the squared coefficients of variation (variance over squared
        mean) of the times between arrivals and of the times of the jobs; 1 for M/M/1, where the
        formula is exact. In heavy traffic it comes close whatever the distributions are
    J. F. C. Kingman, The single server queue in heavy traffic, 1961. Raises ValueError for a
    utilisation of 1 or more, for figures that are negative or not finite.
    """
    if not (isfinite(mean_job_h) and isfinite(variation)):
        raise ValueError("a job's time and the variation must be finite")
    if utilisation < 0 or mean_job_h < 0 or variation < 0:
        raise ValueError("utilisation, a job's time and variation must not be negative")
    if not utilisation < 1:
        raise ValueError("a machine that is always busy leaves a queue without end")
    return variation * utilisation / (1 - utilisation) * mean_job_h
