"""What a comparison hangs on, asked over HTTP: its shape, its bounds, and other plants' answers."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from flask.testing import FlaskClient

from shop import DEMO_FILE, EXAMPLES, clock, demo, example, processes
from sidelay.config import Settings
from sidelay.http.app import create_app
from sidelay.job import Job
from sidelay.job_table import JobTable
from sidelay.plan import Planner

Body = dict[str, Any]
NEVER = 2**50  # no money in the world
NAMES = ("a6_flyer", "bottle_labels", "concert_programme", "invitation", "shirts", "posters")
FACTORS = [
    "stock_price",
    "click_charge",
    "hourly_rates",
    "make_ready_time",
    "carrier_price",
    "running_speed",
    "waste",
    "coverage",
]


def body_of(name: str, **members: Any) -> Body:
    body: Body = json.loads((EXAMPLES / f"{name}.json").read_text())
    return body | {"explain": ["sensitivity"], "up_to": 50_000} | members


def compared(client: FlaskClient, body: Body) -> Body:
    response = client.post("/compare", json=body)
    assert response.status_code == 200, response.text
    answer: Body = response.get_json()
    return answer


@pytest.mark.parametrize("name", NAMES)
def test_an_answer_tells_of_every_crossover_quantity_and_factor(
    client: FlaskClient, conforms: Callable[[str, Any], None], name: str
) -> None:
    body = body_of(name)
    answer = compared(client, body)
    conforms("Comparison", answer)
    hanging = answer["hangs_on"]
    keys = ("part", "from_process", "to_process", "first_at")
    told = [tuple(each[key] for key in keys) for each in hanging["crossovers"]]
    assert told == [tuple(each[key] for key in keys) for each in answer["crossovers"]]
    for crossover in hanging["crossovers"]:
        assert [each["factor"] for each in crossover["factors"]] == FACTORS
        for each in crossover["factors"]:
            assert [shift["change"] for shift in each["shifts"]] == [-0.2, -0.1, 0.1, 0.2]
    parts = [part["name"] for part in body["job"]["parts"]]
    asked = [(q, part) for q in body["job"]["quantities"] for part in parts]
    assert [(each["quantity"], each["part"]) for each in hanging["answers"]] == asked
    best = {each["quantity"]: each["choices"][0] for each in answer["quantities"]}
    for each in hanging["answers"]:
        assert [hinge["factor"] for hinge in each["factors"]] == FACTORS
        if each["part"] == parts[0]:
            assert each["press"] == best[each["quantity"]]["press"]
        for hinge in each["factors"]:
            check_flips(hinge, each["process"])


def check_flips(hinge: dict[str, Any], process: str) -> None:
    """A flip names another process, and figures that are `times` what they are now."""
    for side, beyond in (("below", lambda times: times < 1), ("above", lambda times: times > 1)):
        flip = hinge[side]
        if flip is None:
            continue
        assert beyond(flip["times"])
        assert abs(flip["unchanged_to"] - 1) < abs(flip["times"] - 1)
        assert flip["process"] != process
        for figure in flip["figures"]:
            assert figure["then"] == pytest.approx(figure["now"] * flip["times"], abs=1e-5)
            assert "{currency}" not in figure["unit"]


def test_nothing_hangs_where_it_is_not_asked(client: FlaskClient) -> None:
    assert "hangs_on" not in compared(client, body_of("a6_flyer", explain=[]))
    assert "cost_bands" not in compared(client, body_of("a6_flyer"))


def test_where_nothing_qualifies_there_is_no_member(client: FlaskClient) -> None:
    """A part that no press makes: 200, why not, and nothing that could hang on anything."""
    body = body_of("a6_flyer", processes=["gravure"], explain=["sensitivity", "cost_bands"])
    answer = compared(client, body)
    assert answer["excluded"]
    assert answer["bands"] == answer["crossovers"] == []
    assert "hangs_on" not in answer
    assert "cost_bands" not in answer


def test_one_process_alone_flips_nowhere(client: FlaskClient) -> None:
    hanging = compared(client, body_of("a6_flyer", processes=["toner"]))["hangs_on"]
    assert hanging["crossovers"] == []
    assert hanging["answers"]
    for each in hanging["answers"]:
        assert all(hinge["below"] is hinge["above"] is None for hinge in each["factors"])


@pytest.mark.parametrize("path", ["/compare", "/validate"])
def test_more_than_twenty_quantities_are_too_many(client: FlaskClient, path: str) -> None:
    body = body_of("a6_flyer")
    body["job"]["quantities"] = list(range(100, 121))
    response = client.post(path, json=body)
    assert response.status_code == 422
    errors = response.get_json()["errors"]
    assert [(each["pointer"], each["code"]) for each in errors] == [("#/explain", "too_many")]
    body["job"]["quantities"].pop()
    assert client.post("/validate", json=body).status_code == 200
    many = body_of("a6_flyer", explain=["cost_bands"])
    many["job"]["quantities"] = list(range(100, 121))
    assert client.post("/validate", json=many).status_code == 200


@pytest.mark.parametrize("name", ["a6_flyer", "concert_programme"])
def test_the_same_bytes_twice_and_from_another_service(client: FlaskClient, name: str) -> None:
    body = body_of(name, explain=["sensitivity", "cost_bands"])
    once = client.post("/compare", json=body).data
    assert client.post("/compare", json=body).data == once
    other = create_app(Settings(), clock=clock).test_client()
    assert other.post("/compare", json=body).data == once


# The same job on a plant file that says other figures ------------------------------------------


def served(text: str, folder: Path) -> FlaskClient:
    file = folder / "demo.toml"
    file.write_text(text)
    return create_app(Settings(plants=file), clock=clock).test_client()


def times_in_file(text: str, field: str, by: float) -> str:
    """The plant file with a figure of every press times a factor, in the digits it takes."""
    lines, changed = text.splitlines(), 0
    for number, line in enumerate(lines):
        name, _, value = line.partition(" = ")
        if name == field and not value.startswith(('"', "[")):
            lines[number] = f"{name} = {float(value.split('#')[0]) * by!r}"
            changed += 1
    assert changed
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("factor", ["carrier_price", "click_charge"])
@pytest.mark.parametrize("change", [-0.2, 0.1])
def test_a_plant_file_with_the_figure_changed_agrees(
    client: FlaskClient, tmp_path: Path, factor: str, change: float
) -> None:
    """The crossover of a plant file at 0.8 or 1.1 times the figure, the two processes alone."""
    fields = {
        "carrier_price": ("plate_price", "coating_plate_price"),
        "click_charge": ("click_mono_price", "click_colour_price", "click_extra_price"),
    }
    body = body_of("a6_flyer", processes=["toner", "sheetfed_litho"])
    (crossover,) = compared(client, body)["hangs_on"]["crossovers"]
    (leaning,) = (each for each in crossover["factors"] if each["factor"] == factor)
    (shift,) = (each for each in leaning["shifts"] if each["change"] == change)
    text = DEMO_FILE.read_text()
    for field in fields[factor]:
        if f"\n{field} = " in text.replace(f'{field} = "', ""):
            text = times_in_file(text, field, 1 + change)
    again = compared(served(text, tmp_path), body | {"explain": []})
    (there,) = again["crossovers"]
    assert (there["from_process"], there["to_process"]) == ("toner", "sheetfed_litho")
    assert (there["first_at"], there["settled_at"]) == (shift["first_at"], shift["settled_at"])
    assert there["first_at"] != crossover["first_at"]


def test_a_plant_file_at_the_flip_answers_otherwise(client: FlaskClient, tmp_path: Path) -> None:
    """At `times` the plate price another process is the cheapest, at `unchanged_to` it is not."""
    body = body_of("a6_flyer", processes=["toner", "sheetfed_litho"])
    answers = compared(client, body)["hangs_on"]["answers"]
    flips = [
        (each["quantity"], each["process"], flip)
        for each in answers
        for hinge in each["factors"]
        if hinge["factor"] == "carrier_price"
        for flip in (hinge["below"], hinge["above"])
        if flip
    ]
    assert flips
    for quantity, process, flip in flips:
        asked = copy.deepcopy(body) | {"explain": []}
        asked["job"]["quantities"] = [quantity]
        for times, expected in (
            (flip["times"], flip["process"]),
            (flip["unchanged_to"], process),
        ):
            text = times_in_file(DEMO_FILE.read_text(), "plate_price", times)
            answer = compared(served(text, tmp_path), asked)
            assert answer["quantities"][0]["choices"][0]["process"] == expected


# Bounds ------------------------------------------------------------------------------------------


def winner_at(bands: list[Body]) -> Callable[[int], tuple[str, str, str]]:
    def at(quantity: int) -> tuple[str, str, str]:
        (band,) = (each for each in bands if each["from"] <= quantity <= each["to"])
        return band["process"], band["press"], json.dumps(band["route"])

    return at


@pytest.mark.parametrize("name", ["a6_flyer", "bottle_labels", "concert_programme"])
@pytest.mark.parametrize("start", [2, 487, 5_000])
def test_bands_from_a_quantity_are_the_part_of_all_at_and_above_it(
    client: FlaskClient, name: str, start: int
) -> None:
    body = body_of(name, explain=["cost_bands"])
    whole, part = compared(client, body), compared(client, body | {"from": start})
    for member in ("bands", "cost_bands"):
        expected = [
            each | {"from": max(each["from"], start)}
            for each in whole[member]
            if each["to"] >= start
        ]
        assert part[member] == expected
    above = [each for each in part["crossovers"] if each["first_at"] <= start]
    assert not above


def test_crossovers_from_a_quantity_hang_on_what_lies_above_it(client: FlaskClient) -> None:
    """Where the second wins from the first quantity on, it takes over from nothing."""
    body = body_of("a6_flyer")
    whole = compared(client, body)["hangs_on"]["crossovers"][0]
    start = whole["first_at"] - 1
    bounded = compared(client, body | {"from": start})["hangs_on"]["crossovers"][0]
    assert bounded["first_at"] == whole["first_at"]
    seen = 0
    for one, other in zip(whole["factors"], bounded["factors"], strict=True):
        for full, cut in zip(one["shifts"], other["shifts"], strict=True):
            assert cut["wins_there"] == full["wins_there"]
            if full["settled_at"] and full["settled_at"] <= start:
                assert cut["first_at"] is cut["settled_at"] is None
                seen += 1
            elif full["first_at"] and full["first_at"] > start:
                assert (cut["first_at"], cut["settled_at"]) == (
                    full["first_at"],
                    full["settled_at"],
                )
    assert seen


@pytest.mark.parametrize("name", ["a6_flyer", "bottle_labels", "concert_programme"])
def test_cost_bands_are_brute_force_by_cost(client: FlaskClient, name: str) -> None:
    """The presses of a part cost least at every whole quantity of their band, of all ways."""
    most, wanted = 6_000, example(name)
    answer = compared(client, body_of(name, explain=["cost_bands"], up_to=most))
    table = Planner(processes()).plan_aside(wanted, demo()).job_table
    assert table is not None
    for number, part in enumerate(wanted.parts):
        least = least_costs(table, wanted, number, np.arange(1, most + 1))
        presses = [way.presses for way in table.makeups[0].parts[number].ways]
        assert answer["cost_bands"][0]["from"] == 1
        assert answer["cost_bands"][-1]["to"] == most
        for band in answer["cost_bands"]:
            route = tuple(
                (each["process"], each["press"])
                for each in band["route"]
                if each["part"] == part.name
            )
            mine = [n for n, names in enumerate(presses) if names == route]
            inside = least[:, band["from"] - 1 : band["to"]]
            assert (inside[mine].min(axis=0) == inside.min(axis=0)).all()


def least_costs(table: JobTable, wanted: Job, number: int, asked: Any) -> Any:
    """Cost of the job in minor units for each way of one part, all else at its least."""
    by_binder = []
    for makeup in table.makeups:
        copies, every = makeup.assembly.needed(asked), []
        for part, told in zip(makeup.parts, wanted.parts, strict=True):
            total = part.table.at(copies * told.per_copy).total
            every.append(
                np.array(
                    [
                        np.full(len(asked), NEVER)
                        if way.barred
                        else sum(total[list(stretch)].min(axis=0) for stretch in way.stretches)
                        for way in part.ways
                    ]
                )
            )
        others = sum(ways.min(axis=0) for n, ways in enumerate(every) if n != number)
        by_binder.append(
            every[number] + others + makeup.assembly.at(asked).bill.by_kind[0].sum(axis=0)
        )
    return np.minimum.reduce(by_binder)


def test_cost_bands_leave_prices_out(client: FlaskClient) -> None:
    """What the plant asks on top may turn the order round; what it costs may not hang on that."""
    body = body_of("a6_flyer", explain=["cost_bands"])
    answer = compared(client, body)
    best = winner_at(answer["cost_bands"])
    for each in answer["quantities"]:
        choices = each["choices"]
        costs = {(c["process"], c["press"]): Decimal(c["cost"]["total"]) for c in choices}
        process, press, _ = best(each["quantity"])
        assert costs[process, press] == min(costs.values())
