"""The least price of a job at many quantities at once, whichever way it is made."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from .job_table import JobTable, columns
from .money import Cents
from .pricing import prices


def least_prices(table: JobTable, quantities: Sequence[int] | NDArray[np.int64]) -> Cents:
    """Return the least price of all ways at each quantity: the price of the least value.

    table: of all ways, or of those alone that can be the cheapest
    """
    asked, policy = np.asarray(quantities, dtype=np.int64), table.policy
    value = table.at(np.concatenate([asked, columns(policy.thresholds)])).value.min(axis=0)
    n = len(asked)
    return prices(value[:n], asked, policy, value[n:])
