"""The trace of an offer: of each part, of each step on copies, and of the price."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..assembly import copy_meter
from ..curve import Array
from ..figures import Figure, Given
from ..job import Job
from ..job_table import JobCosts, JobTable
from ..line_table import Line, line_ids
from ..offers import Columns, Offer, cost_by_column
from ..plant import Plant
from ..pricing import KINDS, values
from ..ways import Made, PartTable, cost_by_kind
from ..work import Kind
from .lines import line_figures
from .naming import COPY, PIECE, SHARE, Currency, apart, cost_sums, identifier
from .price import Priced, price_figures
from .route import Counts, route_counts, waste_of_step


class Tracer:
    """Traces the offers of one job on one plant.

    table, costs: what the offers were made from (`estimate.PricedJob`)
    """

    def __init__(self, table: JobTable, costs: JobCosts, job: Job, plant: Plant) -> None:
        self._table, self._costs, self._job = table, costs, job
        self._currency = Currency(plant.currency, plant.digits)
        self._columns = Columns(len(job.quantities), len(plant.price_policy.thresholds))

    def part(self, offer: Offer, number: int) -> list[Figure]:
        """Return the figures of one part: the counts of each of its runs, its lines, its sums."""
        made = offer.parts[number]
        table = self._table.makeups[offer.makeup].parts[number]
        found = self._costs.makeups[offer.makeup].parts[number].costs
        figures = [self._delivered(offer), *reversed(self._into_steps(offer))]
        counts: dict[int, Counts] = {}
        for route, of in zip(made.routes, _names_of_runs(table, made), strict=True):
            wanted = self._pieces(offer, number, counts, table.routes[route].feeds)
            counts[route] = route_counts(
                route, table.routes[route], found, offer.column, wanted, of
            )
            figures += counts[route].figures
        rows = _rows(table, made)
        given = []
        for (row, line), name in zip(rows, _names([line for _, line in rows]), strict=True):
            of_route = counts[line.route]
            lines = line_figures(
                row,
                name,
                line,
                found,
                offer.column,
                of_route.meters,
                self._currency,
                of_route.figures[0].of,
            )
            figures += lines
            given.append((line.kind, lines[-1].given))
        return figures + cost_sums(
            given, self._by_kind(offer, number), self._currency, "this part"
        )

    def operation(self, offer: Offer, place: int) -> list[Figure]:
        """Return the figures of one step on copies: what goes in, its lines, its sums."""
        bill = self._costs.makeups[offer.makeup].assembly.bill
        into = self._into_steps(offer)
        figures = [self._delivered(offer)] if place == len(into) - 1 else []
        figures.append(into[place])
        rows = self._rows_of_step(offer, place)
        given, meters = [], {copy_meter(place): into[place].given}
        for (row, line), name in zip(rows, _names([line for _, line in rows]), strict=True):
            lines = line_figures(row, name, line, bill, offer.column, meters, self._currency)
            figures += lines
            given.append((line.kind, lines[-1].given))
        sums = self._of_step(offer, place)
        return figures + cost_sums(given, sums, self._currency, "this operation")

    def price(self, offer: Offer) -> list[Figure]:
        """Return the figures from the cost of parts and operations to the price."""
        return price_figures(
            Priced(
                offer=offer,
                sums=tuple(self._sums(offer)),
                value=self._value(offer),
                columns=self._columns,
                policy=self._table.policy,
                rush=self._table.rush,
                currency=self._currency,
            )
        )

    def _value(self, offer: Offer) -> Array:
        """The value that the price of an offer comes from, at each column [minor units]."""
        if not offer.as_made:
            of_press: Array = self._costs.value[offer.parts[0].way]
            return of_press
        kinds = cost_by_column(self._costs.makeups[offer.makeup], offer.parts)
        kinds[KINDS.index("time")] += offer.overtime_cost
        return values(kinds, self._table.policy, rush=self._table.rush)

    def _sums(self, offer: Offer) -> Iterator[tuple[str, Given]]:
        """Yield what parts and operations come to by kind, named as they stand in an offer."""
        makeup = self._table.makeups[offer.makeup]
        for number, made in enumerate(offer.parts):
            kinds = {line.kind for _, line in _rows(makeup.parts[number], made)}
            yield from self._named(kinds, self._by_kind(offer, number), f"part_{number + 1}")
        for place in range(len(makeup.assembly.steps)):
            kinds = {line.kind for _, line in self._rows_of_step(offer, place)}
            yield from self._named(kinds, self._of_step(offer, place), f"operation_{place + 1}")
        if offer.overtime_cost:
            premium = self._currency.money(offer.overtime_cost)
            yield "time", Given("overtime", premium, self._currency.code)

    def _named(
        self, kinds: set[Kind], minors: Sequence[int], what: str
    ) -> Iterator[tuple[str, Given]]:
        for kind, minor in zip(KINDS, minors, strict=True):
            if kind in kinds:
                amount = self._currency.money(minor)
                yield kind, Given(f"{kind}_of_{what}", amount, self._currency.code)

    def _rows_of_step(self, offer: Offer, place: int) -> list[tuple[int, Line]]:
        assembly = self._table.makeups[offer.makeup].assembly
        of = assembly.step_of_line
        return [(row, line) for row, line in enumerate(assembly.lines) if of[row] == place]

    def _of_step(self, offer: Offer, place: int) -> list[int]:
        """What a step on copies costs by kind [minor units]."""
        found = self._costs.makeups[offer.makeup].assembly.bill.lines[:, offer.column]
        rows = self._rows_of_step(offer, place)
        return [sum(int(found[row]) for row, line in rows if line.kind == kind) for kind in KINDS]

    def _by_kind(self, offer: Offer, number: int) -> list[int]:
        costs = self._costs.makeups[offer.makeup].parts[number]
        summed: list[int] = cost_by_kind(offer.parts[number].routes, costs, offer.column).tolist()
        return summed

    def _delivered(self, offer: Offer) -> Figure:
        """Copies to deliver: those ordered and the overs asked for."""
        found = self._costs.makeups[offer.makeup].assembly
        return Figure(
            "copies_delivered",
            float(found.copies[0, offer.column]),
            COPY,
            "ceil(quantity x (1 + overs_share))",
            (
                Given("quantity", float(offer.quantity), COPY),
                Given("overs_share", float(self._job.overs_share), SHARE),
            ),
            "copies ordered, and the overs that the job asks for",
            "the request",
        )

    def _into_steps(self, offer: Offer) -> list[Figure]:
        """What goes into each step on copies, in the order of production."""
        steps = self._table.makeups[offer.makeup].assembly.steps
        copies = self._costs.makeups[offer.makeup].assembly.copies
        names = apart(f"copies_into_{identifier(step.name)}" for step in steps)
        out, found = self._delivered(offer).given, []
        for place in reversed(range(len(steps))):
            into = float(copies[len(steps) - place, offer.column])
            found.append(waste_of_step(out, steps[place], into, names[place], COPY))
            out = found[-1].given
        return found[::-1]

    def _pieces(
        self, offer: Offer, number: int, counts: dict[int, Counts], feeds: int | None
    ) -> Figure:
        """Pieces that a run has to deliver: for the copies, or the shells that an overprint takes.

        counts: of the runs before it
        """
        if feeds is not None:
            shells = counts[feeds].meters["parent"]
            told = "each shell that the overprint takes"
            return Figure(
                "pieces_wanted", shells.number, PIECE, shells.name, (shells,), told
            )
        into = self._into_steps(offer)
        copies = into[0].given if into else self._delivered(offer).given
        each = self._table.per_copy[number]
        return Figure(
            "pieces_wanted",
            copies.number * each,
            PIECE,
            f"{copies.name} x per_copy",
            (copies, Given("per_copy", float(each), PIECE)),
            "pieces of this part for all copies that are begun",
            "the request",
        )


def _names_of_runs(table: PartTable, made: Made) -> list[str]:
    """Tell the runs of a part apart; "" where there is but one."""
    if len(made.routes) == 1:
        return [""]
    told = []
    for number in made.routes:
        route = table.routes[number]
        pages = f"{route.work.part.pages} pages on " if route.of.bound_in else ""
        alike = f", {route.times} alike" if route.times > 1 else ""
        told.append(f"{pages}{route.press.id}{alike}")
    return apart(told)


def _rows(table: PartTable, made: Made) -> list[tuple[int, Line]]:
    """Lines of a part as it is made, each with its row in the table."""
    return [
        named
        for number in made.routes
        for named in enumerate(table.table.lines_of(number), table.table.first_line(number))
    ]


def _names(lines: Sequence[Line]) -> list[str]:
    return apart(identifier(name) for name in line_ids(lines))
