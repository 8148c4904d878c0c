"""A plug-in that fails costs its own press: that press is named, and the rest stands as before."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from flask.testing import FlaskClient

import sidelay_sheetfed_litho
import sidelay_toner
from shop import clock, demo_text
from sidelay.config import Settings
from sidelay.http.app import create_app
from sidelay.plugin import Abilities, Charge, Finding, PressSchema, Process, Run, hookimpl
from sidelay.processes import Processes

Conforms = Callable[[str, Any], None]
PRESS = """
[[presses]]
process = "stencil"
id = "stencil_one"
name = "Stencil duplicator"
cost_centre = "mono_toner"

[presses.feed]
min_width_mm = 100
max_width_mm = 320
min_length_mm = 100
max_length_mm = 450
work_styles = ["sheetwise"]
"""
RUN = {
    "passes": 1,
    "make_ready_min": 2.0,
    "make_ready_cycles": 3,
    "cycles_per_hour": 6000.0,
    "running_waste": 0.01,
}


def plug_in(**hooks: Callable[..., Any]) -> ModuleType:
    """Return a process plug-in that is sound but for the hooks given."""
    facts = {name: "-" for name in Process.__dataclass_fields__ if name != "id"}
    facts |= {"variable_data": False, "usual_run_length": (1, 100), "cautions": ()}
    facts |= {"quality": (0.5, 0.7), "crew": (1, 1), "impresses": False, "sources": {}}

    def process() -> Process:
        return Process(id="stencil", **facts)

    def press_schema() -> type[PressSchema]:
        return PressSchema

    def constraints(press: Any, part: Any, job: Any) -> list[Finding]:
        return []

    def speed(press: Any, work: Any) -> Run:
        return Run(**RUN)

    def cost(press: Any, work: Any, run: Any) -> list[Charge]:
        return [Charge("carrier", "master", 0.5, "carrier", amount=work.carriers)]

    module = ModuleType("sidelay_stencil")
    sound = (process, press_schema, constraints, speed, cost)
    for hook in {function.__name__: function for function in sound} | hooks:
        function = hooks.get(hook) or next(f for f in sound if f.__name__ == hook)
        setattr(module, hook, hookimpl(function))
    return module


@pytest.fixture
def service(tmp_path: Path) -> Callable[[ModuleType], FlaskClient]:
    """Return a client of the demo plant with one press more, modelled by a plug-in of the test."""
    plant = tmp_path / "demo.toml"
    plant.write_text(demo_text("sheetfed_litho", "toner") + PRESS)

    def start(module: ModuleType) -> FlaskClient:
        processes = Processes()
        processes.add("sheetfed_litho", sidelay_sheetfed_litho)
        processes.add("toner", sidelay_toner)
        processes.add("stencil", module)
        return create_app(Settings(plants=plant), processes=processes, clock=clock).test_client()

    return start


def raising(press: Any, work: Any) -> Run:
    raise RuntimeError("secret of the plug-in")


def leaving(press: Any, part: Any, job: Any) -> list[Finding]:
    raise SystemExit(1)


def looping(press: Any, work: Any) -> Run:
    while True:
        pass


def not_a_number(press: Any, work: Any) -> Run:
    return Run(**RUN | {"cycles_per_hour": math.nan})


def negative(press: Any, work: Any, run: Any) -> list[Charge]:
    return [Charge("ink", "ink", -1.0, "cycle")]


def mistyped(press: Any, work: Any) -> Any:
    return "fast"


FAULTY = {
    "raises": {"speed": raising},
    "leaves": {"constraints": leaving},
    "loops": {"speed": looping},
    "nan": {"speed": not_a_number},
    "negative": {"cost": negative},
    "mistyped": {"speed": mistyped},
}


@pytest.mark.parametrize("path", ["/estimate", "/compare"])
@pytest.mark.parametrize("fault", FAULTY)
def test_a_fault_costs_its_own_press(
    service: Any, client: FlaskClient, flyer: Any, conforms: Conforms, path: str, fault: str
) -> None:
    response = service(plug_in(**FAULTY[fault])).post(path, json=flyer)
    assert response.status_code == 200
    answer = response.get_json()
    conforms("Estimate" if path == "/estimate" else "Comparison", answer)
    [unavailable] = answer["unavailable"]
    assert (unavailable["process"], unavailable["press"]) == ("stencil", "stencil_one")
    assert len(unavailable["reference"]) == 10
    assert "secret" not in response.text

    flyer["processes"] = ["sheetfed_litho", "toner"]
    without = client.post(path, json=flyer).get_json()
    for member in ("estimates", "quantities", "bands", "crossovers", "excluded", "cautions"):
        assert answer.get(member) == without.get(member)


def test_a_sound_plug_in_competes(service: Any, flyer: Any, conforms: Conforms) -> None:
    answer = service(plug_in()).post("/compare", json=flyer).get_json()
    conforms("Comparison", answer)
    assert answer["unavailable"] == []
    assert "stencil_one" in {choice["press"] for choice in answer["quantities"][0]["choices"]}


def test_figures_of_numpy_are_written(service: Any, flyer: Any, conforms: Conforms) -> None:
    def constraints(press: Any, part: Any, job: Any) -> list[Finding]:
        return [Finding("limit", "weight", "too heavy", np.float64(130.5), np.int64(90), "g/m2")]

    answer = service(plug_in(constraints=constraints)).post("/compare", json=flyer).get_json()
    conforms("Comparison", answer)
    found = next(e for e in answer["excluded"] if e["press"] == "stencil_one")["findings"]
    assert (found[0]["asked"], found[0]["limit"]) == (130.5, 90)


def test_the_reference_finds_the_fault_in_the_log(
    service: Any, flyer: Any, caplog: pytest.LogCaptureFixture
) -> None:
    answer = service(plug_in(speed=raising)).post("/estimate", json=flyer).get_json()
    assert answer["unavailable"][0]["reference"] in caplog.text
    assert "secret of the plug-in" in caplog.text


def test_the_document_describes_the_presses_of_any_plug_in(service: Any) -> None:
    client = service(plug_in())
    document = client.get("/openapi.json").get_json()
    assert "press_stencil" in document["components"]["schemas"]
    shown = client.get("/processes/stencil").get_json()
    assert shown["press_schema"] == document["components"]["schemas"]["press_stencil"]


def stencil_row(client: FlaskClient, flyer: dict[str, Any]) -> dict[str, Any]:
    answer = client.post("/compare", json=flyer).get_json()
    assert answer["unavailable"] == []
    assert "stencil_one" in {c["press"] for c in answer["quantities"][0]["choices"]}
    rows = {row["process"]: row for row in answer["characteristics"]}
    assert rows["toner"]["here"]["abilities"] is not None
    found: dict[str, Any] = rows["stencil"]
    return found


def failing(press: Any) -> Abilities:
    raise RuntimeError("secret of the plug-in")


def boastful(press: Any) -> Abilities:
    return Abilities(rated_speed=math.inf)


def idling(press: Any) -> Abilities:
    while True:
        pass


def silent(press: Any) -> None:
    return None


@pytest.mark.parametrize(
    ("hooks", "logged"),
    [
        ({}, False),
        ({"abilities": silent}, False),
        ({"abilities": failing}, True),
        ({"abilities": boastful}, True),
        ({"abilities": idling}, True),
    ],
    ids=["no hook", "says nothing", "raises", "answers nonsense", "loops"],
)
def test_abilities_that_fail_cost_the_figures_of_their_row_only(
    service: Callable[[ModuleType], FlaskClient],
    flyer: dict[str, Any],
    caplog: pytest.LogCaptureFixture,
    hooks: dict[str, Callable[..., Any]],
    logged: bool,
) -> None:
    row = stencil_row(service(plug_in(**hooks)), flyer)
    assert row["here"]["abilities"] is None
    assert row["here"]["presses"] == [
        {
            "press": "stencil_one",
            "name": "Stencil duplicator",
            "feed": "sheet",
            "largest_mm": [320.0, 450.0],
            "pages_up": row["here"]["pages_up"],
        }
    ]
    assert row["here"]["pages_up"] >= 1
    made = row["for_this_job"]
    assert (made["rated_per_hour"], made["ruling_lpi"]) == (None, 150.0)
    assert made["tone_steps"] is None
    assert made["net_per_hour"] == 6000.0
    assert ("press stencil_one (stencil) unavailable" in caplog.text) is logged


def test_a_failure_is_asked_again_and_an_answer_is_kept(
    service: Callable[[ModuleType], FlaskClient], flyer: dict[str, Any]
) -> None:
    asked = []

    def at_second(press: Any) -> Abilities:
        asked.append(press)
        if len(asked) == 1:
            raise RuntimeError
        return Abilities(rated_speed=9000.0)

    client = service(plug_in(abilities=at_second))
    rows = [stencil_row(client, flyer)["here"]["abilities"] for _ in range(3)]
    assert rows[0] is None
    assert rows[1] == rows[2]
    assert rows[1]["rated"] == [{"unit": "{cycle}/h", "slowest": 9000.0, "fastest": 9000.0}]
    assert rows[1]["inks_in_one_pass"] is None
    assert len(asked) == 2
