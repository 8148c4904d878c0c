"""What the service knows is shown: rates too, but neither prices nor margins of the shop."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

from shop import DEMO_FILE, demo, plant, processes
from sidelay.http.render_time import write_time
from sidelay.http.schemas.answer_job import RATE_ITEMS
from sidelay.plant_time import MachineTime, PlantTime, Queue

Conforms = Callable[[str, Any], None]


def test_processes(client: FlaskClient, conforms: Conforms) -> None:
    answer = client.get("/processes").get_json()
    conforms("Processes", answer)
    assert [process["id"] for process in answer["processes"]] == sorted(processes().about)


@pytest.mark.parametrize("process", ["sheetfed_litho", "toner"])
def test_a_process_and_its_presses(client: FlaskClient, conforms: Conforms, process: str) -> None:
    answer = client.get(f"/processes/{process}").get_json()
    conforms("ProcessDetail", answer)
    listed = client.get("/processes").get_json()["processes"]
    assert {k: v for k, v in answer.items() if k != "press_schema"} in listed
    assert "$ref" not in json.dumps(answer["press_schema"])


def demo_presses(process: str) -> list[dict[str, Any]]:
    """The press tables of the demo plant file, as TOML has them."""
    tables = tomllib.loads(DEMO_FILE.read_text())["presses"]
    return [
        {key: value for key, value in table.items() if key != "process"}
        for table in tables
        if table["process"] == process
    ]


@pytest.mark.parametrize("process", ["sheetfed_litho", "toner"])
def test_the_press_schema_takes_what_the_plant_file_has(client: FlaskClient, process: str) -> None:
    schema = client.get(f"/processes/{process}").get_json()["press_schema"]
    Draft202012Validator.check_schema(schema)
    check = Draft202012Validator(schema)
    presses = demo_presses(process)
    assert len(presses) == 2
    for press in presses:
        check.validate(press)
        assert not check.is_valid(press | {"colour": "red"})
        assert not check.is_valid(press | {"id": "Not An Id"})
        assert not check.is_valid(press | {"running_waste": "much"})
        assert not check.is_valid({k: v for k, v in press.items() if k != "feed"})


def test_the_press_schema_tells_units_and_sources(client: FlaskClient) -> None:
    members = client.get("/processes/toner").get_json()["press_schema"]["properties"]
    assert members["make_ready_min"]["x-unit"] == "min"
    assert members["make_ready_min"]["x-source"]
    assert members["make_ready_min"]["default"] == 6
    [length, speed] = members["sides_per_minute_by_length"]["items"]["prefixItems"]
    assert length["type"] == speed["type"] == "number"


def test_plants(client: FlaskClient, conforms: Conforms) -> None:
    answer = client.get("/plants").get_json()
    conforms("Plants", answer)
    assert [plant["id"] for plant in answer["plants"]] == ["demo"]


def test_a_plant(client: FlaskClient, conforms: Conforms) -> None:
    answer = client.get("/plants/demo").get_json()
    conforms("Plant", answer)
    assert [p["id"] for p in answer["presses"]] == [each.press.id for each in demo().presses]
    assert [s["id"] for s in answer["stocks"]] == list(demo().stocks)
    stocks = {stock["id"]: stock for stock in answer["stocks"]}
    opened = {"pack": 500, "breaks_packs": True}
    a4 = stocks["offset_80"]["sheets"][-1]
    assert a4 == {"width_mm": 210, "height_mm": 297, "grain": "long", **opened}
    silk = stocks["silk_250"]["sheets"][1]
    assert silk == {"width_mm": 720, "height_mm": 1020, "grain": "short", **opened, "pack": 100}


def test_when_a_plant_works_is_shown(client: FlaskClient) -> None:
    time = client.get("/plants/demo").get_json()["time"]
    assert (time["zone"], time["country"], time["subdivision"]) == ("Europe/Dublin", "IE", None)
    week = ["mon", "tue", "wed", "thu", "fri"]
    assert time["shifts"] == [
        {"days": week, "starts": "08:00", "ends": "12:30"},
        {"days": week, "starts": "13:00", "ends": "16:30"},
    ]
    assert time["overtime"][1] == {"days": ["sat"], "starts": "08:00", "ends": "13:00"}
    christmas = {"date": "2026-12-24", "reason": "closed over Christmas and New Year"}
    assert time["closed_days"][0] == christmas
    assert time["approval_days"] == {"soft": 0.25, "contract": 1, "press": 0}
    assert (time["dispatch"]["cut_off"], time["dispatch"]["delivered_by"]) == ("15:30", "12:00")
    assert (time["horizon_days"], time["drying_share"]) == (400, 0.5)


def test_machines_that_differ_are_shown_with_their_queues(client: FlaskClient) -> None:
    time = client.get("/plants/demo").get_json()["time"]
    machines = {machine["id"]: machine for machine in time["machines"]}
    assert set(machines) < set(time["machine_ids"])
    press, desk = machines["litho_b1_five"], machines["prepress"]
    assert press["shifts"][0]["ends"] == "22:00"
    # Clocks of Dublin show UTC until the last Sunday of March.
    service = {"start_at": "2027-03-15T06:00:00+00:00", "end_at": "2027-03-17T22:00:00+00:00"}
    assert press["maintenance"] == [service | {"reason": "yearly service, rollers and grippers"}]
    assert press["queue"] == {"busy_until": None, "hours_ahead": None, "utilisation": 0.85}
    assert (desk["shifts"], desk["overtime"], desk["maintenance"]) == (None, None, [])
    assert machines["screen_flatbed"]["queue"]["hours_ahead"] == 6


def test_what_is_not_told_of_time_is_shown_as_nothing() -> None:
    toner = MachineTime(overtime=(), queue=Queue(busy_until=1_798_720_200))
    shop = replace(plant(), time=PlantTime(zone="Asia/Tokyo", machines={"folder": toner}))
    time = write_time(shop)
    assert (time["country"], time["subdivision"], time["drying_share"]) == (None, None, None)
    (machine,) = time["machines"]
    assert (machine["shifts"], machine["overtime"]) == (None, [])
    # 31 December 2026, 12:30 UTC
    assert machine["queue"]["busy_until"] == "2026-12-31T21:30:00+09:00"


def test_how_long_a_stock_takes_to_come_is_shown(client: FlaskClient) -> None:
    stocks = {each["id"]: each for each in client.get("/plants/demo").get_json()["stocks"]}
    assert (stocks["silk_130"]["lead_days"], stocks["cotton_600"]["lead_days"]) == (0, 3)


def test_what_a_plant_does_beside_printing_is_shown_with_its_limits(client: FlaskClient) -> None:
    answer = client.get("/plants/demo").get_json()
    machines = {each["id"]: each for each in answer["operations"]}
    assert list(machines) == [machine.id for machine in demo().operations]
    matt = machines["laminate_matt"]
    assert (matt["operation"], matt["unit"], matt["finishes"]) == ("laminate", "sheet", ["matt"])
    assert (matt["figures"]["min_grammage_gsm"], matt["figures"]["max_grammage_gsm"]) == (115, 450)
    assert machines["varnish_spot_uv"]["bought_out"] is True
    binders = {each["id"]: each for each in answer["binders"]}
    assert list(binders) == [binder.id for binder in demo().binders]
    glued, cased = binders["perfect_binder"], binders["trade_case"]
    assert (glued["method"], glued["figures"]["needs_cover"]) == ("perfect_bind", True)
    assert (glued["figures"]["min_block_mm"], glued["figures"]["max_block_mm"]) == (3, 50)
    assert (cased["bought_out"], cased["figures"]["lead_days"]) == (True, 12)


@pytest.mark.parametrize(
    ("stock", "form", "pack", "breaks_packs"),
    [
        ("carbonless_top_white_80", "sheets", 500, False),
        ("vinyl_monomeric", "reels", 68.5, False),
        ("label_white_pp", "reels", None, True),
        ("tee_white", "blanks", 12, True),
        ("glass_bottle", "blanks", None, True),
    ],
)
def test_packs_are_shown(
    client: FlaskClient, stock: str, form: str, pack: float | None, breaks_packs: bool
) -> None:
    stocks = {each["id"]: each for each in client.get("/plants/demo").get_json()["stocks"]}
    first = stocks[stock][form][0]
    assert (first["pack"], first["breaks_packs"]) == (pack, breaks_packs)


def test_a_cost_centre_shows_its_rate_and_what_it_is_made_of(client: FlaskClient) -> None:
    answer = client.get("/plants/demo").get_json()
    centres = {centre["id"]: centre for centre in answer["cost_centres"]}
    assert list(centres) == list(demo().cost_centres)
    assert all(centre["source"] for centre in centres.values())
    assert (centres["prepress"]["rate_per_hour"], centres["prepress"]["build"]) == ("48.00", None)
    litho = centres["large_litho"]
    assert litho["rate_per_hour"] == "240.00"
    assert {item["item"] for item in litho["build"]["items"]} <= set(RATE_ITEMS)
    amounts = [Decimal(item["per_year"]) for item in litho["build"]["items"]]
    assert sum(amounts) == Decimal(litho["build"]["total_per_year"])
    hours = Decimal(str(litho["build"]["chargeable_hours"]))
    assert Decimal(litho["build"]["total_per_year"]) / hours == Decimal("240")
    wages = next(item for item in litho["build"]["items"] if item["item"] == "wages")
    assert wages["per_year"] == "109824.00"
    assert "crew of 2" in wages["because"]


def test_prices_mark_ups_and_margins_are_not_shown(client: FlaskClient) -> None:
    answer = client.get("/plants/demo").get_json()

    def members(value: Any) -> set[str]:
        if isinstance(value, dict):
            return set(value).union(*map(members, value.values()))
        return set().union(*map(members, value)) if isinstance(value, list) else set()

    told = members(answer)
    assert "grammage_gsm" in told
    assert "rated_sheets_per_hour" in told
    money = re.compile("(^|_)(price|rate|markup|margins)(_|$)")
    factors = {name for name in told if name.endswith("_times")} | {"rate_per_hour"}
    assert not [name for name in told - factors if money.search(name)]


def test_figures_of_a_press_stand_beside_their_sources(client: FlaskClient) -> None:
    answer = client.get("/plants/demo").get_json()
    flexo = next(press for press in answer["presses"] if press["id"] == "flexo_narrow")
    assert flexo["figures"]["transfer_share"] == 0.25
    assert "Boaglio" in flexo["sources"]["transfer_share"]
    assert set(flexo["sources"]) - {"feed"} <= set(flexo["figures"])


def test_probes(client: FlaskClient, conforms: Conforms) -> None:
    conforms("Alive", client.get("/livez").get_json())
    ready = client.get("/readyz").get_json()
    conforms("Ready", ready)
    assert ready["plants"] == ["demo"]
    assert ready["processes"] == sorted(processes().about)
