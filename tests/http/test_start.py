"""Settings, plants, and how a start that cannot be says so."""

from __future__ import annotations

import inspect
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import sidelay_sheetfed_litho
import sidelay_toner
from plant_faults import plainly
from shop import DEMO_FILE, clock, demo_text, processes
from sidelay.config import DEMO_ACCESS, MAX_BODY_BYTES, PACKAGED_PLANTS, BadSetting, Settings
from sidelay.http.app import create_app
from sidelay.http.service import read_plants
from sidelay.processes import Processes
from sidelay.toml_file import PlantFileError

DEMO = DEMO_FILE.read_text()
SECOND = DEMO.replace('id = "demo"', 'id = "annex"')


def test_settings_by_default() -> None:
    assert Settings.from_environment({}) == Settings(PACKAGED_PLANTS, "", MAX_BODY_BYTES)


def test_settings_from_the_environment() -> None:
    given = {
        "SIDELAY_PLANTS": "/etc/plants",
        "SIDELAY_DEFAULT_PLANT": "annex",
        "SIDELAY_MAX_BODY_BYTES": "4096",
        "SIDELAY_ACCESS": "/etc/access.toml",
        "SIDELAY_QUOTE_KEYS": f"{'n' * 32}, {'o' * 32}",
        "SIDELAY_REDIS_URL": "redis://127.0.0.1/3",
        "SIDELAY_REVISIONS": "/etc/plants/kept",
        "SIDELAY_RELOAD_STILL_S": "2.5",
        "SIDELAY_MAX_BATCH_BYTES": "8192",
    }
    assert Settings.from_environment(given) == Settings(
        Path("/etc/plants"),
        "annex",
        4096,
        Path("/etc/access.toml"),
        ("n" * 32, "o" * 32),
        "redis://127.0.0.1/3",
        Path("/etc/plants/kept"),
        2.5,
        8192,
    )


def test_a_variable_that_is_empty_is_not_set() -> None:
    names = re.findall(r"SIDELAY_\w+", Settings.__doc__ or "")
    assert Settings.from_environment(dict.fromkeys(names, "")) == Settings()


def test_plants_of_ones_own_are_not_open_by_default() -> None:
    with pytest.raises(BadSetting, match="SIDELAY_ACCESS: name the file"):
        Settings.from_environment({"SIDELAY_PLANTS": "/etc/plants"})


@pytest.mark.parametrize("keys", ["short", "a" * 31, ",".join("a" * 32 for _ in range(3))])
def test_bad_quote_keys_are_refused_and_not_told(keys: str) -> None:
    with pytest.raises(BadSetting, match="SIDELAY_QUOTE_KEYS: expected at most 2") as caught:
        Settings.from_environment({"SIDELAY_QUOTE_KEYS": keys})
    assert keys not in str(caught.value)


@pytest.mark.parametrize("text", ["0", "-1", "1.5", "many", "1e6", "٣", "9" * 13])
def test_a_bad_number_of_bytes(text: str) -> None:
    with pytest.raises(BadSetting, match="SIDELAY_MAX_BODY_BYTES: expected a whole number"):
        Settings.from_environment({"SIDELAY_MAX_BODY_BYTES": text})


@pytest.mark.parametrize("text", ["-1", "soon", "61", "1e1", "1,5", "1.", "٣", "nan"])
def test_a_bad_number_of_seconds(text: str) -> None:
    with pytest.raises(BadSetting, match="SIDELAY_RELOAD_STILL_S: expected seconds from 0 to 60"):
        Settings.from_environment({"SIDELAY_RELOAD_STILL_S": text})


def test_every_setting_is_told_in_the_class() -> None:
    read = set(re.findall(r"SIDELAY_\w+", inspect.getsource(Settings.from_environment)))
    told = set(re.findall(r"SIDELAY_\w+", Settings.__doc__ or ""))
    assert read == told
    assert len(read) == len(Settings.__dataclass_fields__)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "b.toml").write_text(DEMO)
    (tmp_path / "c.toml").write_text(SECOND)
    (tmp_path / "notes.txt").write_text("not a plant")
    return tmp_path


def test_a_folder_of_plants(folder: Path) -> None:
    assert [plant.id for _, plant in read_plants(folder, processes())] == ["annex", "demo"]


def test_one_plant_file(folder: Path) -> None:
    assert [plant.id for _, plant in read_plants(folder / "c.toml", processes())] == ["annex"]


def test_the_first_plant_answers_unless_another_is_set(folder: Path, flyer: dict[str, str]) -> None:
    del flyer["plant"]
    for default, answers in (("", "annex"), ("demo", "demo")):
        settings = Settings(plants=folder, default_plant=default)
        client = create_app(settings, clock=clock).test_client()
        assert client.post("/estimate", json=flyer).get_json()["plant"]["id"] == answers
        asked = client.post("/estimate", json=flyer | {"plant": "demo"}).get_json()
        assert asked["plant"]["id"] == "demo"


def faults(where: Path, **settings: str) -> list[str]:
    with pytest.raises(PlantFileError) as found:
        create_app(Settings(plants=where, **settings), processes=processes())
    return plainly(found.value)


def test_faults_of_all_files_are_told_together(folder: Path) -> None:
    (folder / "a.toml").write_text(DEMO.replace("lift_mm = 80", "lift_mm = -80"))
    (folder / "d.toml").write_text("[plant")
    told = faults(folder)
    assert any("a.toml" in line and "lift_mm" in line for line in told)
    assert any("d.toml" in line and "not TOML" in line for line in told)


def test_an_id_that_two_plants_have(folder: Path) -> None:
    (folder / "d.toml").write_text(DEMO)
    assert faults(folder) == ["d.toml: [plant] id: 'demo' is taken"]


def test_an_empty_folder(tmp_path: Path) -> None:
    assert faults(tmp_path) == [f"{tmp_path}: no plant file (*.toml) in this folder"]


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    [line] = faults(tmp_path / "none.toml")
    assert line.startswith(f"{tmp_path}/none.toml: cannot be read: ")


def test_a_default_plant_that_is_not_there(folder: Path) -> None:
    [line] = faults(folder, default_plant="other")
    assert "'other'; there is annex, demo" in line


def test_a_plug_in_that_could_not_be_used_is_told_by_name_only(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text(demo_text("sheetfed_litho", "toner"))
    registry = Processes()
    registry.add("sheetfed_litho", sidelay_sheetfed_litho)
    registry.add("toner", sidelay_toner)
    registry.refuse("stencil", "could not be imported: ImportError: /srv/secret.so")
    settings = Settings(plants=tmp_path)
    response = create_app(settings, processes=registry).test_client().get("/readyz")
    assert response.status_code == 200
    assert response.get_json()["plugin_faults"] == ["stencil"]
    assert "secret" not in response.text


def load_wsgi(**environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", "import sidelay.http.wsgi as w; print(w.app.name)"],
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_server_loads_the_app() -> None:
    loaded = load_wsgi(SIDELAY_PLANTS="")
    assert (loaded.returncode, loaded.stdout, loaded.stderr) == (0, "sidelay\n", "")


def test_a_start_that_cannot_be_prints_every_fault_and_exits_with_3(folder: Path) -> None:
    (folder / "a.toml").write_text(
        DEMO.replace("lift_mm = 80", "lift_mm = -80").replace("units = 2", 'units = "two"')
    )
    (folder / "c.toml").unlink()
    loaded = load_wsgi(SIDELAY_PLANTS=str(folder / "a.toml"), SIDELAY_ACCESS=str(DEMO_ACCESS))
    assert loaded.returncode == 3
    assert "lift_mm" in loaded.stderr
    assert "Traceback" not in loaded.stderr
    assert all(line.startswith("a.toml:") for line in loaded.stderr.splitlines())
    line = DEMO[: DEMO.index("lift_mm = 80")].count("\n") + 1
    assert f"a.toml:{line}: [finishing.guillotine] lift_mm: " in loaded.stderr


def test_a_bad_setting_stops_the_start() -> None:
    loaded = load_wsgi(SIDELAY_MAX_BODY_BYTES="lots")
    assert loaded.returncode == 3
    assert loaded.stderr.startswith("SIDELAY_MAX_BODY_BYTES: expected")


def test_importing_the_factory_does_no_work() -> None:
    """No plug-in is looked for and no plant is read before the factory is called."""
    code = "import sidelay.http.app, sys; print('sidelay_toner' in sys.modules)"
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert loaded.stdout == "False\n"
