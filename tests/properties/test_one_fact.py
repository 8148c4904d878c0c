"""Changing one fact of a job or a plant moves the lines that hang on it, all of them, and no other.

Presses are held to those that the job is made on, so that every layout stays; that it does is
checked each time.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from shop import NOW, demo, processes
from sidelay.estimate import estimate
from sidelay.http.faults import Faults
from sidelay.http.job_reader import read_job
from sidelay.http.render_offer import OfferWriter
from sidelay.http.schemas.request import load_request
from sidelay.job import Job, Operation, Side
from sidelay.plan import Planner
from sidelay.plant import Plant

FOLDER = Path(__file__).parents[1] / "jobs"
NAMES = ("programme", "paperback", "trifold", "pads", "cover", "cartons")
COPIES = "copies"
ON_PRESS = ("make-ready", "running", "wash-up")
Key = tuple[int, str, str, str, int]  # quantity, part or COPIES, stage, label, place
Answer = tuple[dict[Key, str], list[str]]


def sample(name: str, plant: Plant) -> Job:
    data, found = load_request(json.loads((FOLDER / f"{name}.json").read_text()))
    return read_job(data, plant, Faults(found))


def presses_of(name: str) -> tuple[str, ...]:
    """The presses that the sample job is made on, at its first quantity."""
    job, plant = sample(name, demo()), demo()
    found = estimate(job, plant, Planner(processes()), NOW)
    offer = found.offers[0]
    parts = zip(found.plan.job_table.makeups[offer.makeup].parts, offer.parts, strict=True)
    return tuple(dict.fromkeys(part.ways[made.way].press for part, made in parts))


def answer(job: Job, plant: Plant, presses: tuple[str, ...]) -> Answer:
    """Cost of every line at every quantity; the binder and how the parts lie on their presses."""
    found = estimate(job, plant, Planner(processes()), NOW, only_presses=presses)
    assert found.offers
    writer = OfferWriter(found.plan, found.costs, job, plant, "lines")
    costs: dict[Key, str] = {}
    layouts = []
    for offer in found.offers:
        held = [(part["part"], part) for part in writer.parts(offer)]
        held += [(COPIES, operation) for operation in writer.operations(offer)]
        for where, written in held:
            for line in written["lines"]:
                key = offer.quantity, where, line["stage"], line["label"]
                place = sum(known[:4] == key for known in costs)
                costs[(*key, place)] = line["cost"]
        makeup = found.plan.job_table.makeups[offer.makeup]
        layouts += [bound.binder.id for bound in found.plan.bound[offer.makeup :][:1]]
        for part, made in zip(makeup.parts, offer.parts, strict=True):
            layouts += [part.routes[number].carriers_id for number in made.routes]
    return costs, layouts


def moved(before: Answer, after: Answer) -> set[Key]:
    """Lines whose cost has changed, came or went; the layouts must have stayed."""
    assert before[1] == after[1], "another layout: the fact changes more than it should"
    keys = {*before[0], *after[0]}
    return {key for key in keys if before[0].get(key) != after[0].get(key)}


def check(
    name: str,
    changed_job: Callable[[Job], Job],
    changed_plant: Callable[[Plant], Plant],
    hangs: Callable[[Key], bool],
    *,
    presses: tuple[str, ...] = (),
) -> None:
    """The lines that hang on the fact have moved, every one that costs anything, and no other."""
    plant, presses = demo(), presses or presses_of(name)
    job, other = sample(name, plant), changed_plant(plant)
    before = answer(job, plant, presses)
    after = answer(changed_job(sample(name, other)), other, presses)
    lines = {*before[0], *after[0]}
    costly = {key for key in lines if float(after[0].get(key, before[0].get(key))) > 0}
    assert moved(before, after) == {key for key in lines & costly if hangs(key)}
    assert moved(before, after)


def same(given):
    return given


def on_parts(job: Job, old: str, **members) -> Job:
    """The job with another wish for one operation of its parts."""
    parts = tuple(
        replace(
            part,
            operations=tuple(
                replace(wish, **members) if wish.name == old else wish for wish in part.operations
            ),
        )
        for part in job.parts
    )
    return replace(job, parts=parts)


@pytest.mark.parametrize("name", ["cover", "paperback"])
def test_the_finish_of_the_film_moves_the_lines_of_laminating(name: str) -> None:
    check(
        name,
        lambda job: on_parts(job, "laminate", finish="gloss"),
        same,
        lambda key: key[3] == "laminate, material",
    )


def by_3_percent(supply, member: str) -> dict:
    terms = supply.terms and replace(
        supply.terms, tiers=tuple((start, price * 1.03) for start, price in supply.terms.tiers)
    )
    return {member: getattr(supply, member) * 1.03, "terms": terms}


@pytest.mark.parametrize("name", NAMES)
def test_the_price_of_a_stock_moves_its_own_line(name: str) -> None:
    stock = sample(name, demo()).parts[0].stock
    dearer = replace(
        stock,
        sheets=tuple(replace(each, **by_3_percent(each, "price")) for each in stock.sheets),
        reels=tuple(replace(each, **by_3_percent(each, "price_per_m2")) for each in stock.reels),
    )
    parts = {part.name for part in sample(name, demo()).parts if part.stock.id == stock.id}
    check(
        name,
        same,
        lambda plant: replace(plant, stocks={**plant.stocks, stock.id: dearer}),
        lambda key: key[2] == "stock" and key[1] in parts,
    )


def running(step: str) -> tuple[str, str]:
    """The lines of time of a step."""
    return step, f"{step}, set-up"


def centres_of(name: str) -> dict[str, set[tuple[int, str, str]]]:
    """By cost centre, the lines of time spent there: quantity, part or COPIES, label.

    Another quantity may be made on other presses, and bound on another binder.
    """
    plant = demo()
    job, presses = sample(name, plant), presses_of(name)
    found = estimate(job, plant, Planner(processes()), NOW, only_presses=presses)
    spent: dict[str, set[tuple[int, str, str]]] = {}
    for offer in found.offers:
        makeup = found.plan.job_table.makeups[offer.makeup]
        parts = zip(found.job.parts, makeup.parts, strict=True)
        for (part, ways), made in zip(parts, offer.parts, strict=True):
            for route in (ways.routes[number] for number in made.routes):
                own = spent.setdefault(route.press.cost_centre, set())
                own |= {(offer.quantity, part.name, each) for each in ON_PRESS}
                for step in (*route.steps, *route.gathering):
                    told = step.name.replace("_", " ")
                    here = spent.setdefault(step.cost_centre, set())
                    here |= {(offer.quantity, part.name, each) for each in running(told)}
        for step in makeup.assembly.steps:
            told = step.name.replace("_", " ")
            here = spent.setdefault(step.cost_centre, set())
            here |= {(offer.quantity, COPIES, each) for each in running(told)}
    return {centre: lines for centre, lines in spent.items() if centre}


@pytest.mark.parametrize(
    ("name", "centre"), [(name, centre) for name in NAMES for centre in centres_of(name)]
)
def test_the_rate_of_a_cost_centre_moves_its_time(name: str, centre: str) -> None:
    def dearer(plant: Plant) -> Plant:
        own = plant.cost_centres[centre]
        rate = replace(own, rate_per_hour=own.rate_per_hour * 1.02)
        return replace(plant, cost_centres={**plant.cost_centres, centre: rate})

    lines = centres_of(name)[centre]
    check(name, same, dearer, lambda key: (key[0], key[1], key[3]) in lines)


@pytest.mark.parametrize(
    ("name", "pack", "per"), [("trifold", "band", 50), ("pads", "shrink_wrap", 5)]
)
def test_the_size_of_a_pack_moves_its_packing(name: str, pack: str, per: int) -> None:
    told = pack.replace("_", " ")

    def smaller(job: Job) -> Job:
        wishes = (replace(wish, per=per) if wish.name == pack else wish for wish in job.operations)
        return replace(job, operations=tuple(wishes))

    check(
        name,
        smaller,
        same,
        lambda key: key[1] == COPIES and key[3] in (told, f"{told}, material"),
    )


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("proof", ["soft", "contract", "press"])
def test_a_proof_moves_the_lines_of_proofs(name: str, proof: str) -> None:
    # A press proof ties up the press, and may move a job to another: hold it on one.
    presses = ("toner_colour_a3",) if (name, proof) == ("paperback", "press") else ()
    check(
        name,
        lambda job: replace(job, proof=proof),
        same,
        lambda key: key[2] == "proof",
        presses=presses,
    )


@pytest.mark.parametrize("name", NAMES)
def test_coverage_moves_the_ink(name: str) -> None:
    """The heaviest spot stays: heavy coverage slows a press and makes it set off, which is right.

    Fount solution goes by the area that the press damps, not by the ink on it.
    """

    def lighter(job: Job) -> Job:
        def side(each: Side) -> Side:
            return replace(each, coverage=each.coverage * 0.8, heaviest_pct=heaviest(each))

        parts = (replace(p, front=side(p.front), back=side(p.back)) for p in job.parts)
        return replace(job, parts=tuple(parts))

    def heaviest(each: Side) -> float:
        return each.heaviest_pct or each.total_coverage_pct

    litho = tuple(p.press.id for p in demo().presses if p.process == "sheetfed_litho")[:1]
    check(
        name,
        lighter,
        same,
        lambda key: key[2] == "ink" and key[3] != "fount solution",
        presses=litho,
    )


@pytest.mark.parametrize("name", ["programme", "paperback", "pads"])
def test_the_speed_of_the_binder_moves_the_binding(name: str) -> None:
    method = sample(name, demo()).binding.method

    def slower(plant: Plant) -> Plant:
        binders = (
            replace(each, copies_per_hour=each.copies_per_hour * 0.9)
            if each.method == method and each.copies_per_hour
            else each
            for each in plant.binders
        )
        return replace(plant, binders=tuple(binders))

    told = method.replace("_", " ")
    check(name, same, slower, lambda key: (key[1], key[3]) == (COPIES, told))


def test_an_operation_more_moves_no_line_of_the_others() -> None:
    """Addressing spoils copies, which the parts and the steps before it must make up for."""
    spoils = next(m for m in demo().operations if m.operation == "address")
    clean = replace(spoils, set_up_waste=0, running_waste=0.0)
    clean_plant = replace(
        demo(), operations=tuple(clean if m is spoils else m for m in demo().operations)
    )
    job, presses = sample("programme", clean_plant), presses_of("programme")
    more = replace(job, operations=(Operation("address"), *job.operations))
    lines = moved(answer(job, clean_plant, presses), answer(more, clean_plant, presses))
    assert lines
    assert {key[3] for key in lines} <= {"address", "address, set-up", "address, material"}
