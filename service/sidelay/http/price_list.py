"""Price lists: every legal choice out of some, at every quantity, written as it is worked out.

Nothing but the choice at hand is held in memory, so that a list may be as long as a caller may ask.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import prod
from typing import Any

from ..choosing import complete_choices
from ..heartbeat import beat
from ..least_prices import least_prices
from ..money import PIECE_DIGITS, decimal_text, share_text
from ..plant import Plant
from ..products import Choice, Choices, Product
from .asked import read_asked
from .callers import Caller
from .catalogues import Sold, request_for
from .csv_tables import write_csv
from .faults import Fault, InvalidRequest
from .kept_answers import Listed
from .render import to_json, write_plant_head
from .selection import QUANTITY, QueryReader
from .service import Service

Domains = Mapping[str, Sequence[Choice]]
PRICED = ("quantity", "net", "per_piece", "currency")


class PressLost(Exception):  # noqa: N818  (a state of the plant, named as such)
    """A press could not be asked in the midst of a list that was promised whole."""


@dataclass(frozen=True)
class PriceList:
    """A price list that is asked for.

    domains: values of each option; quantities: rising
    plant: as the caller's customer group is priced
    whole: whether it ends where a press cannot be asked, so that whoever reads it sees it cut; else
        it goes on without that press
    """

    product: Product
    plant: Plant
    domains: Domains
    quantities: tuple[int, ...]
    service: Service
    group: str
    whole: bool = True

    def begins_whole(self) -> bool:
        """Whether every press can be asked about the first choice; it is priced for the list."""
        first = next(complete_choices(self.product, dict(self.domains)), None)
        try:
            if first is not None:
                self._prices(first)
        except PressLost:
            return False
        return True

    @property
    def canonical(self) -> Any:
        """What is asked, as plain data."""
        return list(self.domains.items()), self.quantities

    def as_lines(self) -> Iterator[bytes]:
        """Yield the list as lines of JSON, an object for each price."""
        for choices, prices in self._choices():
            yield b"".join(f"{row}\n".encode() for row in self._rows(choices, prices))

    def as_json(self) -> Iterator[bytes]:
        """Yield the list as one JSON object."""
        head = {
            "product": self.product.id,
            "plant": write_plant_head(self.plant),
            "options": list(self.domains),
            "quantities": list(self.quantities),
        }
        yield to_json(head)[:-1] + b',"rows":['
        between = ""
        for choices, prices in self._choices():
            rows = ",".join(self._rows(choices, prices))
            yield f"{between}{rows}".encode()
            between = ","
        yield b"]}"

    def as_csv(self) -> Iterator[bytes]:
        """Yield the list as a table (RFC 4180), a row for each price."""
        yield write_csv([*self.domains, *PRICED], ())
        for choices, prices in self._choices():
            told, currency = ",".join(map(str, choices.values())), self.plant.currency
            rows = (
                f"{told},{quantity},{net},{each},{currency}\r\n"
                for quantity, net, each in self._texts(prices)
            )
            yield "".join(rows).encode()

    def _choices(self) -> Iterator[tuple[Choices, Sequence[int] | None]]:
        """Yield every legal choice and its prices, None where no press can make it."""
        for choices in complete_choices(self.product, dict(self.domains)):
            beat()  # a long list takes longer than a worker may be silent
            yield choices, self._prices(choices)

    def _prices(self, choices: Choices) -> Sequence[int] | None:
        kept, asked = self.service.kept_lists, tuple(choices.items())
        key = self.product.id, self.plant, asked, self.quantities
        known = kept.get(key)
        if known is None:
            prices, may_be_kept = self._worked_out(choices)
            if not may_be_kept:
                if self.whole:
                    raise PressLost(f"{self.product.id}: a press cannot be asked about {asked}")
                return prices
            known = Listed(prices)
            kept.keep(key, known)
        return known.prices

    def _worked_out(self, choices: Choices) -> tuple[Sequence[int] | None, bool]:
        try:
            body = request_for(self.product, choices, self.quantities)
            asked = read_asked(body, self.service, group=self.group)
        except InvalidRequest:  # numbers that make no job together
            return None, True
        plan = self.service.planner.plan_aside(
            asked.job, asked.plant, only_processes=asked.processes
        )
        if plan.job_table is None:
            return None, not plan.unavailable
        return least_prices(plan.job_table, self.quantities).tolist(), not plan.unavailable

    def _rows(self, choices: Choices, prices: Sequence[int] | None) -> Iterator[str]:
        """Yield each price as a JSON object."""
        told = to_json(choices).decode()[1:-1]
        currency = self.plant.currency
        for quantity, net, each in self._texts(prices):
            priced = f'"net":"{net}","per_piece":"{each}"' if net else '"net":null,"per_piece":null'
            yield f'{{{told},"quantity":{quantity},{priced},"currency":"{currency}"}}'

    def _texts(self, prices: Sequence[int] | None) -> Iterator[tuple[int, str, str]]:
        """Yield each quantity, its price and the price of one piece; "" where there is none."""
        if prices is None:
            yield from ((quantity, "", "") for quantity in self.quantities)
            return
        digits = self.plant.digits
        for quantity, price in zip(self.quantities, prices, strict=True):
            net = decimal_text(price, digits)
            yield quantity, net, share_text(price, quantity, digits, PIECE_DIGITS)


def read_price_list(
    reader: QueryReader, sold: Sold, caller: Caller, service: Service
) -> PriceList:
    """Return the list that a query asks for. Raises InvalidRequest with every fault."""
    domains, quantities = reader.domains()
    allowance = caller.allowance
    choices = prod(len(values) for values in domains.values())
    if len(quantities) > allowance.quantities:
        told = f"Expected at most {allowance.quantities} quantities, not {len(quantities)}."
        raise InvalidRequest([Fault((), "too_many", told, QUANTITY)])
    if choices * len(quantities) > allowance.prices:
        told = (
            f"Expected at most {allowance.prices:,} prices; {choices:,} choices at "
            f"{len(quantities)} quantities would be {choices * len(quantities):,}."
        )
        raise InvalidRequest([Fault((), "too_many", told, QUANTITY)])
    plant = service.plant_of(sold.plant.id, caller.group)
    return PriceList(sold.product, plant, domains, quantities, service, caller.group)
