"""A reload is all or nothing, and /readyz and /metrics tell how it went."""

from __future__ import annotations

import gc
import re
import weakref
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from access_files import SHOP_KEY, client
from shop import DEMO_FILE, clock, demo_text, processes
from sidelay import succession
from sidelay.catalogue_file import catalogue_path
from sidelay.config import Settings
from sidelay.http import reloading
from sidelay.http.app import create_app
from sidelay.http.reloading import watched
from sidelay.toml_file import revision_of

OPEN = 'open = ["price", "cost", "admin"]\n'
TEXT = DEMO_FILE.read_text()
OTHER = demo_text("toner").replace('id = "demo"', 'id = "annex"')
ASKED = "/products/flyer/price?quantity=500"


class House:
    """A folder with the demo plant, its catalogue and who may ask, served and reloaded."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "plants"
        self.folder.mkdir()
        self.plant, self.access = self.folder / "demo.toml", folder / "access.toml"
        self.catalogue = catalogue_path(self.plant)
        self.plant.write_text(TEXT)
        self.catalogue.write_text(catalogue_path(DEMO_FILE).read_text())
        self.access.write_text(OPEN)
        settings = Settings(self.folder, access=self.access, reload_still_s=0)
        self.app: Flask = create_app(settings, processes=processes(), clock=clock)

    def reload(self) -> bool:
        """Reload, and return whether another app took the place of the one before."""
        before = self.app
        self.app = before.extensions[succession.EXTENSION]()
        return self.app is not before

    def get(self, path: str, **fields: str) -> Any:
        named = {name.replace("_", "-"): value for name, value in fields.items()}
        return self.app.test_client().get(path, headers=named)

    @property
    def ready(self) -> dict[str, Any]:
        answer: dict[str, Any] = self.get("/readyz").get_json()
        return answer


@pytest.fixture
def house(tmp_path: Path) -> House:
    return House(tmp_path)


def test_before_the_first_reload(house: House, conforms: Any) -> None:
    conforms("Ready", house.ready)
    assert house.ready["reload"] is None
    assert house.ready["revisions"] == {"demo": revision_of(TEXT.encode())}


def test_all_files_are_read_anew(
    house: House, conforms: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    before = house.ready["revisions"]["demo"]
    house.plant.write_text(TEXT + "# changed\n")
    (house.folder / "annex.toml").write_text(OTHER)
    house.access.write_text('open = []\n' + client("shop", "price", SHOP_KEY))
    assert house.reload()
    now = revision_of((TEXT + "# changed\n").encode())
    conforms("Ready", house.ready)
    assert house.ready["revisions"] == {"annex": revision_of(OTHER.encode()), "demo": now}
    assert house.ready["reload"] == {
        "at": "2026-11-24T09:00:00+00:00",
        "ok": True,
        "faults": 0,
        "files": [],
    }
    assert house.get("/plants").status_code == 401
    assert house.get("/plants", X_API_Key=SHOP_KEY).status_code == 200
    assert capsys.readouterr().err.splitlines() == [
        "Reloaded.",
        f"plant annex: revision {house.ready['revisions']['annex']} (new)",
        f"plant demo: revision {now} (was {before})",
    ]


FAULTS = {
    "no TOML": ("plant", "[plant", ["demo.toml"]),
    "a figure": ("plant", TEXT.replace("lift_mm = 80", "lift_mm = -80"), ["demo.toml"]),
    "the catalogue": ("catalogue", "[[products]]\n", ["demo.products.toml"]),
    "who may ask": ("access", 'open = ["all"]\n', ["access.toml"]),
}


@pytest.mark.parametrize(("which", "text", "files"), FAULTS.values(), ids=FAULTS)
def test_a_fault_anywhere_leaves_everything_as_it_was(
    house: House,
    conforms: Any,
    capsys: pytest.CaptureFixture[str],
    which: str,
    text: str,
    files: list[str],
) -> None:
    """Another plant comes, and everyone else is locked out: neither may happen by half."""
    before, revisions = house.get(ASKED).data, house.ready["revisions"]
    (house.folder / "annex.toml").write_text(OTHER)
    house.access.write_text("open = []\n")
    getattr(house, which).write_text(text)
    assert not house.reload()
    assert house.get(ASKED).data == before
    ready = house.ready
    conforms("Ready", ready)
    assert (ready["status"], ready["revisions"]) == ("ready", revisions)
    told = capsys.readouterr().err.splitlines()
    assert (ready["reload"]["ok"], ready["reload"]["files"]) == (False, files)
    assert ready["reload"]["faults"] == len(told) - 1
    assert "served on" in told[0]
    assert all(re.match(rf"{re.escape(files[0])}(:\d+)?: ", line) for line in told[1:])


def test_faults_of_all_files_are_told_together(
    house: House, capsys: pytest.CaptureFixture[str]
) -> None:
    house.plant.write_text("[plant")
    (house.folder / "annex.toml").write_text(OTHER.replace("lift_mm = 80", "lift_mm = -80"))
    house.access.write_text('open = ["all"]\n')
    assert not house.reload()
    files = ["access.toml", "annex.toml", "demo.toml"]
    assert house.ready["reload"]["files"] == files
    told = capsys.readouterr().err.splitlines()[1:]
    assert sorted({line.partition(":")[0] for line in told}) == files
    house.plant.write_text(TEXT)
    (house.folder / "annex.toml").write_text(OTHER)
    house.catalogue.write_text("[[products]]\n")
    assert not house.reload()
    assert house.ready["reload"]["files"] == ["access.toml", "demo.products.toml"]


def test_the_readiness_tells_no_reason_and_no_folder(house: House) -> None:
    house.access.write_text(f'open = ["secret_word"]\n[[clients]]\nid = "{SHOP_KEY}"\n')
    house.reload()
    answer = house.get("/readyz").text
    assert not re.search(f"secret_word|{SHOP_KEY}|{house.folder.parent}", answer)
    assert house.ready["reload"]["files"] == ["access.toml"]


def test_what_was_mended_is_read_by_the_next_reload(house: House) -> None:
    house.plant.write_text("[plant")
    assert not house.reload()
    house.plant.write_text(TEXT + "# mended\n")
    assert house.reload()
    assert house.ready["reload"]["ok"] is True
    assert house.ready["revisions"] == {"demo": revision_of((TEXT + "# mended\n").encode())}


def test_the_default_plant_may_not_go(tmp_path: Path) -> None:
    house = House(tmp_path)
    service = house.app.extensions["sidelay"]
    settings = Settings(
        house.folder, default_plant="demo", access=house.access, reload_still_s=0
    )
    house.app = create_app(settings, processes=service.processes, clock=clock)
    (house.folder / "annex.toml").write_text(OTHER)
    house.plant.unlink()
    house.catalogue.unlink()
    assert not house.reload()
    assert house.ready["plants"] == ["demo"]
    assert house.ready["reload"]["files"] == ["plants"]


def test_a_plant_that_is_gone_is_unknown(house: House, flyer: dict[str, Any]) -> None:
    (house.folder / "annex.toml").write_text(OTHER)
    assert house.reload()
    (house.folder / "annex.toml").unlink()
    assert house.reload()
    asked = flyer | {"plant": "annex"}
    answer = house.app.test_client().post("/validate", json=asked)
    assert answer.status_code == 422
    assert answer.get_json()["errors"][0]["code"] == "unknown_plant"


def test_nothing_kept_before_is_given_after(house: House) -> None:
    """Neither bytes nor 304: what an answer rests on has changed with the file."""
    before = house.get(ASKED)
    assert house.get(ASKED, If_None_Match=before.headers["ETag"]).status_code == 304
    house.plant.write_text(TEXT.replace("time_markup = 0.25", "time_markup = 0.35", 1))
    assert house.reload()
    after = house.get(ASKED, If_None_Match=before.headers["ETag"])
    assert after.status_code == 200
    assert after.headers["ETag"] != before.headers["ETag"]
    assert after.get_json()["plant"]["revision"] == house.ready["revisions"]["demo"]
    old, new = (each.get_json()["prices"][0]["price"]["net"] for each in (before, after))
    assert float(new) > float(old)
    house.plant.write_text(TEXT)
    assert house.reload()
    again = house.get(ASKED, If_None_Match=before.headers["ETag"])
    assert again.status_code == 304, "the very file of before, and so the very answer"


def test_the_old_app_can_be_forgotten(house: House) -> None:
    """Of an app that priced nothing, as in the master; a worker ends with what it read."""
    assert house.get("/plants/demo").status_code == 200
    service = house.app.extensions["sidelay"]
    gone = [weakref.ref(thing) for thing in (house.app, service.planner, service.plants["demo"])]
    del service
    assert house.reload()
    gc.collect()
    assert [each() for each in gone] == [None, None, None]


def test_whatever_is_raised_the_old_app_goes_on(
    house: House, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: Any) -> None:
        raise RuntimeError("a plug-in of somebody else")

    monkeypatch.setattr(reloading, "start", broken)
    assert not house.reload()
    assert house.ready["reload"] == {
        "at": "2026-11-24T09:00:00+00:00",
        "ok": False,
        "faults": 1,
        "files": [],
    }
    assert "a plug-in of somebody else" in capsys.readouterr().err


def test_metrics_tell_the_revisions_served_and_count_reloads(house: House) -> None:
    def told(name: str) -> dict[str, float]:
        text = house.get("/metrics").text
        found = re.findall(rf"^{name}{{(.*)}} (\S+)$", text, re.MULTILINE)
        return {labels: float(value) for labels, value in found}

    def count(outcome: str) -> float:
        return told("sidelay_reloads_total").get(f'outcome="{outcome}"', 0.0)

    before = {outcome: count(outcome) for outcome in ("done", "refused")}
    house.plant.write_text(TEXT + "# changed\n")
    house.reload()
    house.plant.write_text("[plant")
    house.reload()
    assert {outcome: count(outcome) - before[outcome] for outcome in before} == {
        "done": 1.0,
        "refused": 1.0,
    }
    revision = revision_of((TEXT + "# changed\n").encode())
    assert told("sidelay_plant_revision_info") == {f'plant="demo",revision="{revision}"': 1.0}


def test_what_is_watched(house: House) -> None:
    (house.folder / "notes.txt").write_text("")
    files = [house.folder, house.catalogue, house.plant, house.access]
    assert watched(Settings(house.folder, access=house.access)) == files
    alone = watched(Settings(house.plant, access=house.access))
    assert alone == [house.plant, house.catalogue, house.access]


def test_the_whole_is_asked_about_in_one_place(house: House) -> None:
    """A server finds the function by its name, and no other app has it."""
    assert succession.successor_of(house.app) is house.app.extensions[succession.EXTENSION]
    assert succession.successor_of(Flask("other")) is None
    assert succession.successor_of(None) is None
