"""Plant files of old: asked for by revision, and priced as they were when they were current."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from access_files import SHOP_KEY, client
from catalogue_shop import KEYS
from shop import clock, demo_text, processes
from sidelay import succession
from sidelay.config import Settings
from sidelay.http.app import create_app
from sidelay.http.revisions import MOST_READ, _plant_id
from sidelay.toml_file import PlantFileError, revision_of

OLD = demo_text("toner")
NEW = OLD.replace("time_markup = 0.25", "time_markup = 0.35").replace(
    "time_markup = 0.15", "time_markup = 0.20"
)
OLD_REVISION, NEW_REVISION = revision_of(OLD.encode()), revision_of(NEW.encode())
AS_OF = {"as_of": "2026-11-24T09:00:00Z"}
OPEN = 'open = ["price", "cost"]\n'


class House:
    """A service on one plant file, with a folder of revisions."""

    def __init__(self, folder: Path) -> None:
        self.plant, self.kept = folder / "plant.toml", folder / "kept"
        self.access = folder / "access.toml"
        self.kept.mkdir()
        self.plant.write_text(NEW)
        self.access.write_text(OPEN)

    def keep(self, text: str, name: str = "anything.toml", at: int = 1_700_000_000) -> str:
        (self.kept / name).write_text(text)
        os.utime(self.kept / name, (at, at))
        return revision_of(text.encode())

    def app(self, *keys: str) -> Flask:
        settings = Settings(
            self.plant,
            access=self.access,
            quote_keys=keys,
            revisions=self.kept,
            reload_still_s=0,
        )
        return create_app(settings, processes=processes(), clock=clock)

    @property
    def client(self) -> FlaskClient:
        return self.app().test_client()


@pytest.fixture
def house(tmp_path: Path) -> House:
    return House(tmp_path)


def codes(answer: Any) -> dict[str, str]:
    assert answer.status_code == 422, answer.text
    return {error["pointer"]: error["code"] for error in answer.get_json()["errors"]}


@pytest.mark.parametrize("path", ["/estimate", "/compare", "/validate"])
@pytest.mark.parametrize("detail", ["price", "trace"])
def test_an_old_revision_answers_byte_for_byte_as_when_it_was_current(
    house: House, flyer: dict[str, Any], path: str, detail: str
) -> None:
    house.plant.write_text(OLD)
    app = house.app()
    asked = flyer | AS_OF | {"detail": detail}
    before = app.test_client().post(path, json=asked)
    assert before.status_code == 200
    shutil.copy(house.plant, house.kept / "of_old.toml")
    house.plant.write_text(NEW)
    after = app.extensions[succession.EXTENSION]().test_client()
    assert after is not app
    current = after.post(path, json=asked)
    assert (current.data == before.data) is (path == "/validate"), "the prices have changed"
    old = after.post(path, json=asked | {"plant_revision": OLD_REVISION})
    assert old.data == before.data
    assert after.post(path, json=asked | {"plant_revision": NEW_REVISION}).data == current.data


def test_a_customer_group_is_priced_as_it_was(house: House, flyer: dict[str, Any]) -> None:
    house.access.write_text(OPEN + client("trade", "cost", SHOP_KEY, more='group = "trade"\n'))
    house.plant.write_text(OLD)
    fields = {"X-API-Key": SHOP_KEY}
    asked = flyer | AS_OF
    before = house.client.post("/estimate", json=asked, headers=fields)
    house.keep(OLD)
    house.plant.write_text(NEW)
    now = house.client
    old = now.post("/estimate", json=asked | {"plant_revision": OLD_REVISION}, headers=fields)
    assert old.data == before.data
    usual = now.post("/estimate", json=asked | {"plant_revision": OLD_REVISION})
    group, everyone = (
        float(each.get_json()["estimates"][0]["price"]["net"]) for each in (old, usual)
    )
    assert group < everyone


def test_what_was_asked_before_needs_the_scope_cost(house: House, flyer: dict[str, Any]) -> None:
    house.access.write_text("open = []\n" + client("shop", "price", SHOP_KEY))
    house.keep(OLD)
    house.plant.write_text(NEW)
    asking, fields = house.client, {"X-API-Key": SHOP_KEY}
    for path in ("/estimate", "/compare", "/validate"):
        told = asking.post(path, json=flyer | {"plant_revision": OLD_REVISION}, headers=fields)
        assert told.status_code == 403
        assert "plant_revision" in told.get_json()["detail"]
        current = flyer | {"plant_revision": NEW_REVISION}
        assert asking.post(path, json=current, headers=fields).status_code == 200
    assert asking.get(f"/plants/demo?revision={OLD_REVISION}", headers=fields).status_code == 403
    assert asking.get(f"/plants/demo?revision={NEW_REVISION}", headers=fields).status_code == 200


def test_an_unknown_revision_tells_how_many_there_are_and_those_near(
    house: House, flyer: dict[str, Any]
) -> None:
    house.keep(OLD)
    near = OLD_REVISION[:6] + "".join("1" if digit == "0" else "0" for digit in OLD_REVISION[6:])
    answer = house.client.post("/validate", json=flyer | {"plant_revision": near})
    assert codes(answer) == {"#/plant_revision": "unknown_revision"}
    [error] = answer.get_json()["errors"]
    assert "1 revision of this plant" in error["detail"]
    assert OLD_REVISION in error["detail"]
    assert NEW_REVISION not in error["detail"]


def test_without_a_folder_only_the_current_revision_is_known(
    client: FlaskClient, flyer: dict[str, Any]
) -> None:
    current = client.get("/plants/demo").get_json()["revision"]
    assert client.post("/validate", json=flyer | {"plant_revision": current}).status_code == 200
    answer = client.post("/validate", json=flyer | {"plant_revision": OLD_REVISION})
    assert codes(answer) == {"#/plant_revision": "unknown_revision"}
    assert "no revision" in answer.get_json()["errors"][0]["detail"]
    assert client.get("/plants/demo").get_json()["revisions"] == [current]


@pytest.mark.parametrize(
    "given", ["", "0123456789a", "0123456789abc", "0123456789AB", "../../../etc"]
)
def test_what_is_no_revision(client: FlaskClient, flyer: dict[str, Any], given: str) -> None:
    answer = client.post("/validate", json=flyer | {"plant_revision": given})
    assert codes(answer) == {"#/plant_revision": "not_a_revision"}


def test_a_revision_of_another_plant_is_unknown(house: House, flyer: dict[str, Any]) -> None:
    other = house.keep(OLD.replace('id = "demo"', 'id = "annex"'))
    answer = house.client.post("/validate", json=flyer | {"plant_revision": other})
    assert codes(answer) == {"#/plant_revision": "unknown_revision"}


def test_a_file_that_cannot_be_read_is_told_so_and_the_log_tells_why(
    house: House, flyer: dict[str, Any], caplog: pytest.LogCaptureFixture
) -> None:
    faulty = house.keep(OLD.replace("lift_mm = 80", "lift_mm = -80"))
    asking = house.client
    for _ in range(3):
        answer = asking.post("/validate", json=flyer | {"plant_revision": faulty})
        assert codes(answer) == {"#/plant_revision": "revision_unreadable"}
        assert "lift_mm" not in answer.text
    [record] = caplog.records
    assert re.search(r"anything\.toml:\d+: \[finishing\.guillotine\] lift_mm", record.getMessage())


def test_a_file_that_changed_since_is_not_taken_for_what_it_was(
    house: House, flyer: dict[str, Any], caplog: pytest.LogCaptureFixture
) -> None:
    house.keep(OLD)
    asking = house.client
    house.keep(OLD + "# changed\n")
    answer = asking.post("/validate", json=flyer | {"plant_revision": OLD_REVISION})
    assert codes(answer) == {"#/plant_revision": "revision_unreadable"}
    assert "by now" in caplog.text


def test_what_is_no_plant_file_is_left_out(
    house: House, flyer: dict[str, Any], caplog: pytest.LogCaptureFixture
) -> None:
    house.keep(OLD)
    house.keep("[plant", "half.toml")
    house.keep("[shop]\nid = 'demo'\n", "other.toml")
    house.keep("", "demo.products.toml")
    (house.kept / "latin.toml").write_bytes(b"[plant]\nid = 'd\xe9mo'\n")
    asked = flyer | {"plant_revision": OLD_REVISION}
    assert house.client.post("/validate", json=asked).status_code == 200
    assert sorted(record.args[0] for record in caplog.records) == [  # type: ignore[index]
        "half.toml",
        "latin.toml",
        "other.toml",
    ]


def test_revisions_are_listed_the_current_one_first_then_the_newest(house: House) -> None:
    first = house.keep(OLD + "# 1\n", "z.toml", at=1_600_000_000)
    third = house.keep(OLD + "# 3\n", "a.toml", at=1_800_000_000)
    second = house.keep(OLD + "# 2\n", "m.toml", at=1_700_000_000)
    house.keep(NEW, "current.toml")
    shown = house.client.get("/plants/demo").get_json()
    assert shown["revision"] == NEW_REVISION
    assert shown["revisions"] == [NEW_REVISION, third, second, first]


def test_a_plant_is_shown_as_it_was(house: House, conforms: Any) -> None:
    house.plant.write_text(OLD + "# older\n")
    before = house.client.get("/plants/demo").get_json()
    shutil.copy(house.plant, house.kept / "of_old.toml")
    house.plant.write_text(NEW)
    asking = house.client
    shown = asking.get(f"/plants/demo?revision={before['revision']}").get_json()
    conforms("Plant", shown)
    assert shown["revisions"] == [NEW_REVISION, before["revision"]]
    assert shown | {"revisions": []} == before | {"revisions": []}
    for unknown in (OLD_REVISION, "..", "%00"):
        answer = asking.get(f"/plants/demo?revision={unknown}")
        assert answer.status_code == 404
        assert "1 revision of this plant can be asked for" in answer.get_json()["detail"]


def test_few_are_held_and_each_is_the_same_object_while_it_is(house: House) -> None:
    kept = [house.keep(OLD + f"# {n}\n", f"{n}.toml") for n in range(MOST_READ + 2)]
    service = house.app().extensions["sidelay"]
    plants = [service.plant_at("demo", revision, "") for revision in kept]
    assert [plant.revision for plant in plants] == kept
    assert len(service.revisions._read) == MOST_READ
    assert service.plant_at("demo", kept[-1], "") is plants[-1]
    assert service.plant_at("demo", kept[-1], "trade") is not plants[-1]
    assert service.plant_at("demo", kept[-1], "none") is plants[-1]
    assert service.plant_at("demo", kept[0], "") is not plants[0]


def test_no_price_of_old_is_quoted(house: House, flyer: dict[str, Any]) -> None:
    house.keep(OLD)
    asking = house.app(KEYS[0]).test_client()
    asked = flyer | {"quotes": True}
    answer = asking.post("/estimate", json=asked | {"plant_revision": OLD_REVISION})
    assert codes(answer) == {"#/quotes": "conflicting_members"}
    answer = asking.post("/estimate", json=asked | {"plant_revision": NEW_REVISION})
    assert answer.status_code == 200


def test_a_folder_that_is_not_there_stops_the_start(house: House) -> None:
    house.kept.rmdir()
    with pytest.raises(PlantFileError, match="kept: SIDELAY_REVISIONS names no folder"):
        house.app()


def test_a_reload_finds_what_was_kept_since(house: House, flyer: dict[str, Any]) -> None:
    app = house.app()
    asked = flyer | {"plant_revision": OLD_REVISION}
    assert app.test_client().post("/validate", json=asked).status_code == 422
    house.keep(OLD)
    after = app.extensions[succession.EXTENSION]()
    assert after.test_client().post("/validate", json=asked).status_code == 200


@pytest.mark.parametrize(
    "text",
    [
        '[plant]\nid = "demo"\n',
        '# [plant]\n# id = "other"\n[plant]  # the shop\n\nname = "D"\n  id="demo"\n',
        "[plant]\nid = 'demo'\n",
        'plant.id = "demo"\n',
        'plant = { id = "demo" }\n',
        '[plant]\r\nid = "demo"\r\n',
        '[plant]\nname = """\nid = "other"\n"""\nid = "demo"\n',
        'note = """\n[plant]\nid = "other"\n"""\n[plant]\nid = "demo"\n',
        '[plant.more]\nid = "other"\n[plant]\nid = "demo"\n',
        '[plant]\nname = "D"\n[stock]\nid = "other"\n',
    ],
)
def test_whose_a_file_is_however_it_is_written(text: str) -> None:
    expected = None if "stock" in text else "demo"
    assert _plant_id(text.encode()) == expected
