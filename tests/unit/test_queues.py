"""Waits in queues of one server, against the laws of queues and against queues played through."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from sidelay.queues import MM1, kingman_wait_h, mm1_wait

Array = NDArray[np.float64]
JOBS, BATCHES, WARM_UP = 1_000_000, 50, 20_000
rates = st.floats(0.01, 100)
shares = st.floats(0, 0.99)


def waits(between: Array, jobs: Array) -> Array:
    """The wait of each job: Lindley's recursion, W' = max(0, W + S - A), solved for all at once.

    D. V. Lindley, The theory of queues with a single server, 1952. The recursion ends at the sum
    so far less the least sum so far.
    """
    sums = np.concatenate(([0.0], np.cumsum(jobs[:-1] - between[1:])))
    return (sums - np.minimum.accumulate(sums))[WARM_UP:]


def mean_and_error(figures: Array) -> tuple[float, float]:
    """The mean, and its standard error by means of batches (jobs near each other wait alike)."""
    means = figures[: len(figures) // BATCHES * BATCHES].reshape(BATCHES, -1).mean(axis=1)
    return float(means.mean()), float(means.std(ddof=1) / BATCHES**0.5)


def drawn(rng: np.random.Generator, mean: float, cv2: float) -> Array:
    """Times of a gamma distribution of that mean and squared coefficient of variation."""
    return rng.gamma(1 / cv2, mean * cv2, JOBS) if cv2 else np.full(JOBS, mean)


def test_lindleys_recursion_is_solved_right() -> None:
    rng = np.random.default_rng(1)
    between, jobs = rng.exponential(1.2, WARM_UP + 300), rng.exponential(1.0, WARM_UP + 300)
    wait, step_by_step = 0.0, []
    for number in range(len(jobs)):
        step_by_step.append(wait)
        if number + 1 < len(jobs):
            wait = max(0.0, wait + jobs[number] - between[number + 1])
    assert waits(between, jobs) == pytest.approx(step_by_step[WARM_UP:], abs=1e-6)


# Four standard errors: missed by luck once in 16,000, and the draws are the same every time.
@pytest.mark.parametrize("utilisation", [0.3, 0.7, 0.85])
def test_mm1_played_through(utilisation: float) -> None:
    rng = np.random.default_rng(2)
    between = rng.exponential(1 / utilisation, JOBS)
    jobs = rng.exponential(1.0, JOBS)
    found = waits(between, jobs)
    mean, error = mean_and_error(found)
    queue = MM1(utilisation, 1.0)
    assert abs(mean - queue.wait) < 4 * error < queue.wait / 5
    # Arrivals at random see the queue as it is at any time: who finds nobody does not wait.
    free, error = mean_and_error((found <= 1e-9).astype(np.float64))
    assert abs(free - queue.probability(0)) < 4 * error


@pytest.mark.parametrize("cv2", [0.0, 0.25, 2.0])
def test_of_random_arrivals_kingmans_wait_is_exact(cv2: float) -> None:
    # Pollaczek and Khinchine, 1930 and 1932: M/G/1, of which the formula is the general case.
    rng = np.random.default_rng(3)
    mean, error = mean_and_error(waits(drawn(rng, 1 / 0.8, 1.0), drawn(rng, 1.0, cv2)))
    assert abs(mean - kingman_wait_h(0.8, 1.0, (1 + cv2) / 2)) < 4 * error


@pytest.mark.parametrize(
    ("utilisation", "ca2", "cs2"),
    [(0.7, 0.5, 0.5), (0.9, 0.5, 0.25), (0.9, 0.25, 1.0), (0.95, 0.5, 0.5)],
)
def test_of_other_arrivals_it_is_as_close_as_the_bounds(
    utilisation: float, ca2: float, cs2: float
) -> None:
    # Kingman's bound of 1962 is not exceeded, and is missed by no more than (1 + u) / 2 of a time
    # between arrivals when those have an increasing failure rate, as gamma ones of ca2 < 1 do
    # (K. T. Marshall, 1968). Both from memory.
    rng = np.random.default_rng(4)
    between = drawn(rng, 1 / utilisation, ca2)
    mean, error = mean_and_error(waits(between, drawn(rng, 1.0, cs2)))
    bound = (ca2 / utilisation + utilisation * cs2) / (2 * (1 - utilisation))
    lowest = bound - (1 + utilisation) / (2 * utilisation)
    assert lowest - 4 * error < mean < bound + 4 * error
    approximate = kingman_wait_h(utilisation, 1.0, (ca2 + cs2) / 2)
    assert lowest <= approximate <= bound
    assert abs(mean - approximate) < max(bound - approximate, approximate - lowest) + 4 * error


@given(rates, shares.filter(lambda share: share > 0.001))
def test_the_laws_of_queues(service_rate: float, utilisation: float) -> None:
    queue = MM1(utilisation * service_rate, service_rate)
    rho = queue.utilisation
    assert rho == pytest.approx(utilisation)
    assert queue.stay == pytest.approx(queue.wait + 1 / service_rate)
    assert queue.jobs_there == pytest.approx(queue.jobs_waiting + rho)
    assert queue.jobs_there == pytest.approx(rho / (1 - rho))
    chances = [queue.probability(jobs) for jobs in range(4000)]
    assert sum(chances) == pytest.approx(1)
    assert sum(n * chance for n, chance in enumerate(chances)) == pytest.approx(queue.jobs_there)
    assert kingman_wait_h(rho, 1 / service_rate, 1.0) == pytest.approx(queue.wait)
    assert mm1_wait(utilisation * service_rate, service_rate) == queue.wait


@given(shares, shares, st.floats(0, 100), st.floats(0, 10))
def test_busier_machines_keep_jobs_waiting_longer(
    one: float, other: float, mean_job_h: float, variation: float
) -> None:
    less, more = sorted((one, other))
    assert kingman_wait_h(less, mean_job_h, variation) <= kingman_wait_h(
        more, mean_job_h, variation
    )


def test_an_idle_machine_keeps_nobody_waiting() -> None:
    assert kingman_wait_h(0, 1.5, 1) == 0
    assert kingman_wait_h(0.8, 1.5, 0) == 0
    assert kingman_wait_h(0.8, 1.5, 1) == pytest.approx(6)


@pytest.mark.parametrize(
    "figures",
    [
        (1, 1, 1),
        (1.2, 1, 1),
        (-0.1, 1, 1),
        (0.5, -1, 1),
        (0.5, 1, -1),
        (float("nan"), 1, 1),
        (0.5, float("nan"), 1),
        (0.5, 1, float("inf")),
    ],
)
def test_queues_without_end_and_figures_below_nothing_are_refused(
    figures: tuple[float, float, float],
) -> None:
    with pytest.raises(ValueError, match=r"negative|finite|busy"):
        kingman_wait_h(*figures)


@pytest.mark.parametrize(
    ("arrivals", "services"),
    [(0, 1), (-1, 1), (1, 1), (2, 1), (1, -1), (float("nan"), 1), (1, float("nan"))],
)
def test_an_mm1_queue_needs_more_service_than_arrivals(arrivals: float, services: float) -> None:
    with pytest.raises(ValueError, match=r"above 0|no end"):
        mm1_wait(arrivals, services)


def test_there_are_never_fewer_than_no_jobs() -> None:
    with pytest.raises(ValueError, match="fewer"):
        MM1(1, 2).probability(-1)
