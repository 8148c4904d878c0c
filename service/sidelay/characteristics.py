"""The table of processes: what each is, what this plant has of it, what the job makes of it.

Every figure comes from the models and the plant: what the presses can do from the models' own
abilities, what the job makes of a process from the offer that is priced. Nothing is pasted in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from .costing import Costs, CostTable, carrier_lead_days, net_per_hour
from .crossovers import Band, stretches_of
from .feeds import Feed, FeedKind, WorkStyle
from .imposition.most_on import largest_mm, most_on
from .job import QUALITIES, SPECIAL_INKS, InkKind, Job, Part, Quality
from .job_table import JobCosts, JobTable
from .offers import Offer
from .plant import InstalledPress, Plant
from .work import Abilities, Press, Process, RatedUnit

MIN_PER_HOUR = 60.0

Told = Mapping[str, Abilities | None]  # what each press can do, by its id
Span = tuple[float, float]
Figure = TypeVar("Figure", int, float)


@dataclass(frozen=True, slots=True)
class PressHere:
    """A press of the plant: the largest sheet, web or piece it takes, and what lies on that.

    largest_mm: width across the machine, and length of sheet, cut-off, repeat or print
    pages_up: pieces of the first part on one side of it, pages where the part is bound or folded of
        pages; None where it is fed with something else
    """

    press: str
    name: str
    feed: FeedKind
    largest_mm: Span
    pages_up: int | None


@dataclass(frozen=True, slots=True)
class PlantAbilities:
    """What the presses of a process can do together: from .. to over them, or all that any can.

    Members as those of Abilities; None where none of the presses tells.
    grades: empty where one of them prints on all
    two_sided: whether one of them prints both sides in one pass
    tone_steps: of each at its finest ruling
    quality: finest class of work, of the press used for the plainest to that for the finest
    rated: fastest ratings, the slowest to the fastest press, by unit
    """

    inks_in_one_pass: tuple[int, int] | None
    two_sided: bool | None
    special_inks: tuple[InkKind, ...] | None
    grades: tuple[str, ...] | None
    caliper_um: Span | None
    grammage_gsm: Span | None
    finest_ruling_lpi: Span | None
    tone_steps: tuple[int, int] | None
    quality: tuple[Quality, Quality] | None
    register_mm: Span | None
    rated: tuple[tuple[RatedUnit, float, float], ...]


@dataclass(frozen=True, slots=True)
class Here:
    """What a plant has of a process.

    largest: the press that takes the largest of those that could take the part, else of all
    abilities: None where the model of the process tells of none
    """

    presses: tuple[PressHere, ...]
    largest: PressHere
    abilities: PlantAbilities | None


@dataclass(frozen=True, slots=True)
class ForThisJob:
    """What a job makes of a process: its best offer at one quantity, the first part of it.

    inks: on the front and on the back
    ruling_lpi: of the part, else the finest of the press; None where neither is told
    tone_steps: at that ruling; None where the model does not tell
    rated_per_hour, net_per_hour: cycles of one pass of the leading press, net at this run length
    good_per_hour: good cycles over all press hours
    run_cycles: cycles of the press, make-ready and waste included
    within_usual_run: whether the quantity is one that the process is usual for
    dry_after_h: press hours of make-ready and run, and then the drying
    """

    quantity: int
    press: str
    carriers: int
    carrier_lead_days: float
    make_ready_min: float
    wash_up_min: float
    passes: int
    style: WorkStyle
    up: int
    inks: tuple[int, int]
    ruling_lpi: float | None
    tone_steps: int | None
    rated_per_hour: float | None
    net_per_hour: float
    good_per_hour: float
    run_cycles: int
    within_usual_run: bool
    drying_h: float
    dry_after_h: float


@dataclass(frozen=True)
class Characteristic:
    """One process: what it is, what the plant has of it, and what the job makes of it.

    for_this_job: at the asked quantity in the middle; None when no press can make the job
    wins: quantities, first and last, at which one of its presses is the cheapest for the first part
    """

    process: Process
    here: Here
    for_this_job: ForThisJob | None
    wins: tuple[tuple[int, int], ...]


def characteristics(
    job: Job,
    plant: Plant,
    about: Mapping[str, Process],
    told: Told,
    table: JobTable | None = None,
    costs: JobCosts | None = None,
    middle: Sequence[Offer] = (),
    bands: Sequence[Band] = (),
) -> tuple[Characteristic, ...]:
    """Return the row of every process of a plant, in the order of their ids.

    about: the facts of each process; told: what each press can do
    table, costs, middle: the job as priced, and its offers at the quantity in the middle; nothing
        where no press can make it
    """
    by_process: dict[str, list[InstalledPress]] = {}
    for installed in plant.presses:
        by_process.setdefault(installed.process, []).append(installed)
    rows, stretches = [], stretches_of(bands)
    for process_id in sorted(by_process):
        process, found = about[process_id], None
        if table is not None and costs is not None:
            ways = table.first.ways
            best = (o for o in middle if ways[o.parts[0].way].process == process_id)
            found = next((_for_this_job(o, process, job, table, costs, told) for o in best), None)
        won = tuple((first, last) for first, last, wins in stretches if wins == process_id)
        here = _here([each.press for each in by_process[process_id]], job.parts[0], told)
        rows.append(Characteristic(process, here, found, won))
    return tuple(rows)


def _here(presses: Sequence[Press], part: Part, told: Told) -> Here:
    found = tuple(_press_here(press, part, press.feed) for press in presses)
    fed = [each for each in found if each.pages_up is not None]
    largest = max(fed or found, key=lambda each: each.largest_mm[0] * each.largest_mm[1])
    able = [abilities for press in presses if (abilities := told[press.id])]
    return Here(found, largest, merged(able) if able else None)


def _press_here(press: Press, part: Part, feed: Feed) -> PressHere:
    return PressHere(press.id, press.name, feed.kind, largest_mm(feed), most_on(part, feed))


def merged(able: Sequence[Abilities]) -> PlantAbilities:
    """Return what one press or several can do together."""
    steps = [told for each in able if (told := each.tone_steps()) is not None]
    classes = [QUALITIES.index(each.finest_quality) for each in able if each.finest_quality]
    both = [each.two_sided for each in able if each.two_sided is not None]
    words: tuple[Quality, ...] = QUALITIES  # type: ignore[assignment]
    return PlantAbilities(
        inks_in_one_pass=_span([each.inks_in_one_pass for each in able]),
        two_sided=any(both) if both else None,
        special_inks=_kinds([each.special_inks for each in able]),
        grades=_grades([each.grades for each in able]),
        caliper_um=_window([each.caliper_um for each in able]),
        grammage_gsm=_window([each.grammage_gsm for each in able]),
        finest_ruling_lpi=_span([each.finest_ruling_lpi for each in able]),
        tone_steps=_span(steps),
        quality=(words[min(classes)], words[max(classes)]) if classes else None,
        register_mm=_span([each.register_mm for each in able]),
        rated=_rated(able),
    )


def _span(figures: Sequence[Figure | None]) -> tuple[Figure, Figure] | None:
    told = [figure for figure in figures if figure is not None]
    return (min(told), max(told)) if told else None


def _window(windows: Sequence[Span | None]) -> Span | None:
    told = [window for window in windows if window is not None]
    return (min(low for low, _ in told), max(high for _, high in told)) if told else None


def _kinds(kinds: Sequence[tuple[InkKind, ...] | None]) -> tuple[InkKind, ...] | None:
    told = [each for each in kinds if each is not None]
    any_of = {kind for each in told for kind in each}
    return tuple(kind for kind in SPECIAL_INKS if kind in any_of) if told else None


def _grades(grades: Sequence[tuple[str, ...] | None]) -> tuple[str, ...] | None:
    told = [each for each in grades if each is not None]
    if not told:
        return None
    return tuple(sorted({grade for each in told for grade in each})) if all(told) else ()


def _rated(able: Sequence[Abilities]) -> tuple[tuple[RatedUnit, float, float], ...]:
    by_unit: dict[RatedUnit, list[float]] = {}
    for each in able:
        if each.rated_speed is not None:
            by_unit.setdefault(each.rated_unit, []).append(each.rated_speed)
    return tuple((unit, min(by_unit[unit]), max(by_unit[unit])) for unit in sorted(by_unit))


def _for_this_job(
    offer: Offer, process: Process, job: Job, table: JobTable, costs: JobCosts, told: Told
) -> ForThisJob:
    numbers, column = offer.parts[0].routes, offer.column
    routes = table.makeups[offer.makeup].parts[0].table
    found = costs.makeups[offer.makeup].parts[0].costs
    every = [routes.routes[number] for number in numbers]
    leading, part = every[0], job.parts[0]
    able = told[leading.press.id]
    ruling = part.ruling_lpi or (able.finest_ruling_lpi if able else None)
    hours = _hours(routes, found, numbers, column)
    good, spoiled = (
        sum(float(of[number, column]) * routes.routes[number].times for number in numbers)
        for of in (found.good, found.running_waste)
    )
    wash_up_min = sum(float(each.run.wash_up_min) for each in every if each.leading)
    waits = [carrier_lead_days(routes, found, number, column) for number in numbers]
    # Shells have to be dry before they are overprinted.
    drying = float(leading.run.drying_h)
    shells_h = sum(float(each.run.drying_h) for each in every if each.feeds is not None)
    low, high = process.usual_run_length
    return ForThisJob(
        quantity=offer.quantity,
        press=leading.press.id,
        carriers=sum(each.carriers for each in every),
        carrier_lead_days=max(waits),
        make_ready_min=sum(float(each.run.make_ready_of(each.times)) for each in every),
        wash_up_min=wash_up_min,
        passes=int(leading.run.passes),
        style=leading.work.layout.style,
        up=leading.work.layout.up,
        inks=(len(part.front.inks), len(part.back.inks)),
        ruling_lpi=ruling,
        tone_steps=able.tone_steps(part.ruling_lpi) if able else None,
        rated_per_hour=leading.run.rated_per_hour,
        net_per_hour=net_per_hour(routes, found, numbers[0], column),
        good_per_hour=good / hours,
        run_cycles=int(good + spoiled)
        + sum(int(each.run.make_ready_cycles) * each.times for each in every),
        within_usual_run=low <= offer.quantity <= high,
        drying_h=drying,
        dry_after_h=hours - wash_up_min / MIN_PER_HOUR + shells_h + drying,
    )


def _hours(table: CostTable, costs: Costs, numbers: Sequence[int], column: int) -> float:
    """Press hours of all sections, make-ready and wash-up included."""
    return sum(float(costs.press_hours[n, column]) * table.routes[n].times for n in numbers)
