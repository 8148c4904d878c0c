"""Every code block of DEVELOPERS.md runs, and the press that it builds prices a job."""

import re
import tomllib
import types
from dataclasses import replace
from pathlib import Path

import pytest

import sidelay
import sidelay_toner as toner
from shop import BLACK, DEMO_FILE, NOW, demo_text, job, leaf, processes, with_inks
from sidelay.changes import INKS, MEMBERS
from sidelay.compare import compare
from sidelay.job import Binding, Operation
from sidelay.plan import Planner
from sidelay.plant_file import read_plant
from sidelay.processes import HOOKS, Processes

GUIDE = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text()


def blocks(language):
    return re.findall(rf"```{language}\n(.*?)```", GUIDE, flags=re.DOTALL)


@pytest.fixture(scope="module")
def stencil():
    module = types.ModuleType("stencil")
    exec("\n".join(blocks("python")[:3]), module.__dict__)
    return module


@pytest.fixture
def shop(stencil, tmp_path):
    registry = Processes()
    registry.add("toner", toner)
    registry.add("stencil", stencil)
    press = blocks("toml")[1]
    path = tmp_path / "shop.toml"
    path.write_text(demo_text("toner") + press)
    return registry, read_plant(path, registry)


def test_the_example_press_prices_a_job_and_wins_where_it_should(shop):
    registry, plant = shop
    part = with_inks(leaf(148, 210, bleed_mm=0, stock=plant.stocks["offset_80"]), BLACK)
    found = compare(job(part, quality="office"), plant, Planner(registry), NOW, up_to=100_000)
    assert found.plan.unavailable == ()
    winners = [band.process for band in found.bands]
    assert winners[0] == "toner"
    assert "stencil" in winners


def test_the_example_press_refuses_what_the_guide_says_it_refuses(shop):
    registry, plant = shop
    part = leaf(148, 210, stock=plant.stocks["silk_130"])
    found = compare(job(part), plant, Planner(registry), NOW, up_to=1_000)
    (excluded,) = [each for each in found.plan.excluded if each.process == "stencil"]
    codes = [finding.code for finding in excluded.findings]
    assert codes == ["ink_unavailable"] * 3 + ["coated_stock"]


def test_the_changes_that_the_guide_names_let_its_press_in(shop):
    registry, plant = shop
    part = with_inks(leaf(148, 210, bleed_mm=0, stock=plant.stocks["silk_130"]), BLACK)
    asked = job(part, quality="office")
    found = compare(asked, plant, Planner(registry), NOW, up_to=1_000, explain=["remedies"])
    (remedy,) = [each for each in found.remedies if each.process == "stencil"]
    (change,) = remedy.changes
    assert (change.member, change.after.grade) == ("stock", "uncoated")
    mended = replace(asked, parts=(replace(part, stock=change.after),))
    after = compare(mended, plant, Planner(registry), NOW, up_to=1_000)
    (offer,) = [o for o in after.choices[0] if after.plan.table.routes[o.parts[0].routes[0]].process
                == "stencil"]
    assert offer.price == remedy.offers[0].price


def test_every_member_that_may_change_stands_in_the_guide():
    assert all(f"`{name}`" in GUIDE or f'"{name}"' in GUIDE for name in (*MEMBERS, INKS))


def test_the_overlay_of_the_guide_charges_every_press(shop):
    registry, plant = shop
    overlay = types.ModuleType("energy")
    exec(blocks("python")[3], overlay.__dict__)
    part = with_inks(leaf(148, 210, bleed_mm=0, stock=plant.stocks["offset_80"]), BLACK)
    wanted = job(part, quality="office")
    before = compare(wanted, plant, Planner(registry), NOW, up_to=10)
    registry.add("energy", overlay)
    after = compare(wanted, plant, Planner(registry), NOW, up_to=10)
    pairs = zip(before.choices[0], after.choices[0], strict=True)
    assert all(then.cost > now.cost for now, then in pairs)


@pytest.fixture
def album(tmp_path):
    path = tmp_path / "album.toml"
    path.write_text(DEMO_FILE.read_text() + blocks("toml")[2])
    return read_plant(path, processes())


def test_the_tables_of_the_guide_make_a_plant_that_binds_and_gilds_a_book(album):
    (binder,) = [each for each in album.binders if each.id == "screw_post"]
    pages = leaf(200, 200, kind="section", pages=40, name="text", stock=album.stocks["album_200"])
    wanted = job(
        replace(pages, bound_in=binder.method),
        binding=Binding(binder.method, machine=binder.id),
        operations=(Operation("gild_edges"),),
    )
    found = compare(wanted, album, Planner(processes()), NOW, up_to=500)
    assert found.plan.findings == ()
    (makeup,) = found.plan.job_table.makeups
    assert [step.name for step in makeup.assembly.steps] == ["side_stitch", "gild_edges"]
    assert found.choices[0]


def test_the_rate_built_in_the_guide_is_of_a_believable_size(album):
    """Wage 18 x 1.3 / 0.70 = 33.43 an hour, and overheads and the machine on top of it."""
    rate = float(album.cost_centres["gilding"].rate_per_hour)
    assert 33.43 * 1.1 * 1.2 < rate < 60


def test_the_flow_of_the_guide_names_modules_that_exist():
    flow = re.search(r"```\n(JSON -> Job.*?)```", GUIDE, flags=re.DOTALL)[1]
    named = re.findall(r"[\w/*]+\.py", flow)
    assert len(named) > 15
    home = Path(sidelay.__file__).parent
    assert [name for name in named if not list(home.glob(name))] == []


def test_the_entry_point_of_the_guide_is_the_one_that_is_searched():
    entry_points = tomllib.loads(blocks("toml")[0])["project"]["entry-points"]
    assert list(entry_points) == ["sidelay"]


def test_every_hook_is_named_in_the_guide():
    assert all(re.search(rf"\b{hook}\b", GUIDE) for hook in HOOKS if hook != "layouts")


def test_every_module_named_in_the_guide_exists():
    root = Path(__file__).parents[2]
    for name in re.findall(r"`((?:service|plugins|tests)/[\w/.]*)`", GUIDE):
        assert (root / name).exists() or list((root / name).parent.glob(Path(name).name)), name
