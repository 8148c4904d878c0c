"""The trace of an offer: of each part, of each step on copies, and of the price."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..assembly import copy_meter
from ..curve import Array
from ..figures import Figure, Given
from ..job import Job
from ..job_table import JobCosts, JobTable
from ..named_lines import NamedLine, lines_of_copies, lines_of_part
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
        named = lines_of_part(table, made, self._job.parts[number].name)
        given = []
        for each, name in zip(named, _names(named), strict=True):
            line = each.line
            of_route = counts[line.route]
            lines = line_figures(
                each.row,
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
        named = self._lines_of_step(offer, place)
        given, meters = [], {copy_meter(place): into[place].given}
        for each, name in zip(named, _names(named), strict=True):
            of_line = each.row, name, each.line
            lines = line_figures(*of_line, bill, offer.column, meters, self._currency)
            figures += lines
            given.append((each.line.kind, lines[-1].given))
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
            table = makeup.parts[number].table
            kinds = {line.kind for route in made.routes for line in table.lines_of(route)}
            yield from self._named(kinds, self._by_kind(offer, number), f"part_{number + 1}")
        for place in range(len(makeup.assembly.steps)):
            kinds = {each.line.kind for each in self._lines_of_step(offer, place)}
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

    def _lines_of_step(self, offer: Offer, place: int) -> list[NamedLine]:
        assembly = self._table.makeups[offer.makeup].assembly
        named, of = lines_of_copies(assembly), assembly.step_of_line
        return [each for each in named if of[each.row] == place]

    def _of_step(self, offer: Offer, place: int) -> list[int]:
        """What a step on copies costs by kind [minor units]."""
        found = self._costs.makeups[offer.makeup].assembly.bill.lines[:, offer.column]
        named = self._lines_of_step(offer, place)
        return [
            sum(int(found[each.row]) for each in named if each.line.kind == kind) for kind in KINDS
        ]

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


def _names(named: Sequence[NamedLine]) -> list[str]:
    """Name figures as their lines, in words that a formula can hold."""
    return apart(identifier(each.name) for each in named)
