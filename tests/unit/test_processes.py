"""The registry: what it refuses, and what a fault of a plug-in costs."""

import contextlib
import logging
import sys
import time
from dataclasses import dataclass, replace
from types import ModuleType

import pytest

import sidelay_sheetfed_litho as litho
import sidelay_toner as toner
from shop import NOW, demo, demo_of, job, leaf, plant, press, processes
from sidelay import plugin
from sidelay.estimate import estimate
from sidelay.imposition import most_up
from sidelay.plan import Planner
from sidelay.processes import BadPlugin, Processes

HOOKS = ("process", "press_schema", "constraints", "speed", "cost")


def module(name="fake", **hooks):
    """A plug-in module that takes toner's hooks, save those given."""
    made = ModuleType(name)
    for hook in HOOKS:
        setattr(made, hook, getattr(toner, hook))
    for hook, function in hooks.items():
        setattr(made, hook, function)
    return made


def registry(*modules):
    made = Processes()
    made.add("sheetfed_litho", litho)
    for each in modules:
        made.add(each.__name__, each)
    return made


def estimated(*modules):
    wanted = job(leaf(148, 210, stock=demo().stocks["silk_130"]))
    return estimate(wanted, demo_of("sheetfed_litho", "toner"), Planner(registry(*modules)), NOW)


def test_the_bundled_plug_ins_are_found_through_their_entry_points():
    assert list(processes().about) == [
        "continuous_inkjet",
        "dod_inkjet",
        "flexo",
        "gravure",
        "letterpress",
        "screen",
        "sheetfed_litho",
        "toner",
        "web_litho",
    ]
    assert processes().faults == []


def test_bundled_plug_ins_take_nothing_but_the_public_surface():
    for each in (
        litho,
        toner,
        sys.modules["sidelay_toner.press"],
        sys.modules["sidelay_sheetfed_litho.limits"],
    ):
        taken = {name for name in vars(each) if name in plugin.__all__}
        assert taken
        foreign = {
            value.__module__
            for value in vars(each).values()
            if getattr(value, "__module__", "").startswith("sidelay.")
        }
        public = {
            getattr(plugin, name).__module__
            for name in plugin.__all__
            if hasattr(getattr(plugin, name), "__module__")
        }
        assert foreign <= public | {"sidelay.plugin"}


def unmarked(press, work):
    return None


@plugin.hookimpl
def inks(press):
    return None


@pytest.mark.parametrize(
    ("fake", "message"),
    [
        (module(speed=unmarked), "speed lacks its @hookimpl"),
        (module(inks=inks), "unknown hook 'inks'"),
        (module(process=plugin.hookimpl(lambda: "toner")), "must return a Process"),
        (module(press_schema=plugin.hookimpl(lambda: dict)), "subclass of PressSchema"),
    ],
)
def test_a_plug_in_that_breaks_the_contract_is_refused_by_name(fake, message):
    with pytest.raises(BadPlugin, match="fake") as caught:
        registry(fake)
    assert message in str(caught.value)


def test_two_plug_ins_may_not_own_one_process():
    with pytest.raises(BadPlugin, match="already modelled"):
        registry(module("one"), module("two"))


def test_a_plug_in_refused_leaves_nothing_behind():
    made = Processes()
    with pytest.raises(BadPlugin):
        made.add("fake", module(speed=unmarked))
    assert dict(made.about) == {}
    made.add("toner", toner)
    assert list(made.about) == ["toner"]


@pytest.mark.parametrize("hook", ["process", "press_schema"])
def test_a_plug_in_that_fails_at_start_is_no_overlay_of_the_others(hook):
    def broken():
        raise RuntimeError("not today")

    made = registry()
    with pytest.raises(BadPlugin, match=f"{hook}\\(\\) raised RuntimeError: not today"):
        made.add(
            "fake", module(**{hook: plugin.hookimpl(broken), "speed": plugin.hookimpl(raises)})
        )
    wanted = job(leaf(148, 210, stock=demo().stocks["silk_130"]))
    shop = plant(press("sheetfed_litho"))
    assert Planner(made).plan(wanted, shop).unavailable == ()
    assert list(made.about) == ["sheetfed_litho"]


class OddSchema(plugin.PressSchema):
    """A schema with one figure that its press class has not, and one that it lacks."""

    wash_min = plugin.figure("min", 0, 60, "wash")


@dataclass(frozen=True, kw_only=True)
class OddPress(plugin.PressBase):
    wash_min: float
    pads: int


@pytest.mark.parametrize(
    ("press_class", "told"),
    [
        (plugin.PressBase, "the schema has wash_min, which PressBase has not"),
        (OddPress, "OddPress has pads, which the schema has not"),
    ],
)
def test_a_schema_and_a_press_class_that_disagree_are_told(press_class, told):
    schema = type("Schema", (OddSchema,), {"press_class": press_class})
    with pytest.raises(BadPlugin, match=told):
        registry(module(press_schema=plugin.hookimpl(lambda: schema)))


@pytest.mark.parametrize(
    ("low", "default", "source"), [(0, 61, "from memory"), (5, 4, "from memory"), (0, 3, "")]
)
def test_a_default_needs_a_source_and_to_lie_in_its_range(low, default, source):
    with pytest.raises(ValueError, match="the default"):
        plugin.figure("min", low, 60, "wash", default=default, source=source)


@pytest.mark.parametrize(
    ("fact", "value"),
    [
        ("id", "Pad Printing!"),
        ("usual_run_length", (2000, 100)),
        ("quality", (-3, 9)),
        ("cautions", "Solvents."),
        ("name", None),
        ("variable_data", "yes"),
    ],
)
def test_facts_that_cannot_be_shown_are_refused(fact, value):
    about = replace(toner.process(), **{fact: value})
    with pytest.raises(BadPlugin, match=fact):
        registry(module(process=plugin.hookimpl(lambda: about)))


@pytest.mark.parametrize(
    "change",
    [
        {"pattern": "x"},
        {"delivery": "reel"},
        {"width_mm": 0.0},
        {"supply": plugin.ParentSheet(1, 1, "long", 1.0, "not of the stock")},
    ],
)
def test_a_layout_that_contradicts_the_part_costs_the_press(change, caplog):
    caplog.set_level(logging.CRITICAL)

    @plugin.hookimpl
    def layouts(press, part, stock):
        sound = plugin.Layout(320, 450, stock.sheets[-1], "one_side", 1)
        return [replace(sound, **change)]

    fake = module()
    fake.layouts = layouts
    assert len(estimated(fake).plan.unavailable) == 2


def test_a_process_plug_in_without_a_schema_is_told_so():
    fake = module()
    del fake.press_schema
    with pytest.raises(BadPlugin, match="needs press_schema"):
        registry(fake)


def raises(press, work):
    raise RuntimeError("the moon is full")


def leaves(press, work):
    sys.exit(3)


def loops(press, work):
    end = time.monotonic() + 30
    while time.monotonic() < end:
        with contextlib.suppress(Exception):  # a plug-in that swallows all it can
            time.sleep(0.01)


def answering(**figures):
    def speed(press, work):
        return replace(toner.speed(press, work), **figures)

    return speed


@pytest.mark.parametrize(
    "speed",
    [
        raises,
        leaves,
        loops,
        lambda press, work: "fast",
        answering(cycles_per_hour=float("nan")),
        answering(cycles_per_hour=0),
        answering(make_ready_min=-1),
        answering(passes=1.5),
        answering(running_waste=float("inf")),
        answering(running_waste=plugin.Curve(((100, 0.5), (200, 0.0)))),
        answering(cycles_per_hour=plugin.Curve(((100, 10), (101, 1e6)))),
    ],
)
def test_a_fault_costs_the_plug_ins_own_presses_only(speed, caplog, monkeypatch):
    monkeypatch.setattr("sidelay.processes.HOOK_BUDGET_S", 0.1)
    caplog.set_level(logging.CRITICAL)
    found = estimated(module(speed=plugin.hookimpl(speed)))
    lost = {each.press for each in found.plan.unavailable}
    assert lost == {
        "toner_colour_a3"
    }  # the mono press is excluded before it is asked for its speed
    assert all(each.reference for each in found.plan.unavailable)
    made = [found.plan.table.routes[offer.parts[0].routes[0]] for offer in found.offers]
    assert {route.process for route in made} == {"sheetfed_litho"}


@pytest.mark.parametrize(
    "charge",
    [
        plugin.Charge("ink", "ink", -1.0, "cycle"),
        plugin.Charge("ink", "ink", 1.0, "fortnight"),
        plugin.Charge("ink", "ink", 1.0, "cycle", amount=float("nan")),
        plugin.Charge("ink", "ink", 1.0, "carrier", life=0.0),
        plugin.Charge("ink", "ink", 1.0, "cycle", kind="love"),
        "free of charge",
    ],
)
def test_a_charge_that_is_none_costs_the_press(charge, caplog):
    caplog.set_level(logging.CRITICAL)
    found = estimated(module(cost=plugin.hookimpl(lambda press, work: [charge])))
    assert {each.press for each in found.plan.unavailable} == {"toner_colour_a3"}


@pytest.mark.parametrize(
    "finding",
    [
        "no",
        plugin.Finding("perhaps", "code", "message"),
        plugin.Finding("limit", "code", None),
        plugin.Finding("limit", "code", "half a pair: \ud800"),
        plugin.Finding("limit", "code", "message", asked=object()),
        plugin.Finding("caution", "code", "message", limit=float("nan")),
        plugin.Finding("limit", "code", "message", change="coarser"),
        plugin.Finding("limit", "code", "message", change={"pages": 4}),
        plugin.Finding("limit", "code", "message", change={"ruling_lpi": "coarse"}),
        plugin.Finding("limit", "code", "message", change={"ruling_lpi": float("nan")}),
        plugin.Finding("limit", "code", "message", change={"tone_steps": 63.5}),
        plugin.Finding("limit", "code", "message", change={"tone_steps": True}),
        plugin.Finding("limit", "code", "message", change={"quality": "awful"}),
        plugin.Finding("limit", "code", "message", change={"may_simulate": "reflex"}),
        plugin.Finding("limit", "code", "message", change={"stock": "silk_130"}),
    ],
)
def test_a_finding_that_is_none_costs_the_press(finding, caplog):
    caplog.set_level(logging.CRITICAL)
    found = estimated(module(constraints=plugin.hookimpl(lambda press: [finding])))
    assert {each.press for each in found.plan.unavailable} == {"toner_colour_a3", "toner_mono_a3"}


def test_a_finding_may_name_a_change_that_a_job_can_have():
    told = {"ruling_lpi": 100, "tone_steps": 64.0, "quality": "draft", "may_simulate": ["reflex"]}
    finding = plugin.Finding("limit", "code", "message", change={**told, **plugin.ANOTHER_STOCK})
    found = estimated(module(constraints=plugin.hookimpl(lambda press: [finding])))
    assert not found.plan.unavailable
    assert {each.findings for each in found.plan.excluded} == {(finding,)}


def test_a_model_may_lay_out_for_itself():
    @plugin.hookimpl
    def layouts(press, part, stock):
        pattern = most_up(part.width_mm, part.height_mm, part.width_mm, part.height_mm)
        return [plugin.Layout(320, 450, stock.sheets[-1], "one_side", 1, pattern, because="one up")]

    fake = module()
    fake.layouts = layouts
    found = estimated(fake)
    toner_routes = [route for route in found.plan.table.routes if route.process == "toner"]
    assert [route.work.layout.because for route in toner_routes] == ["one up"]


def test_a_layout_that_is_none_costs_the_press(caplog):
    caplog.set_level(logging.CRITICAL)
    fake = module()
    fake.layouts = plugin.hookimpl(lambda press: ["two up"])
    assert len(estimated(fake).plan.unavailable) == 2


def test_a_layout_that_the_press_cannot_run_is_passed_over():
    found = estimated(module(speed=plugin.hookimpl(lambda press, work: None)))
    (excluded,) = [each for each in found.plan.excluded if each.press == "toner_colour_a3"]
    assert [finding.code for finding in excluded.findings] == ["no_way_to_run"]


def test_an_overlay_wraps_every_process():
    @plugin.hookimpl(wrapper=True)
    def cost(press):
        charges = yield
        energy = plugin.Charge("energy", "energy surcharge", 4.0, "hour", because="a test")
        return [[*charges[0], energy]]

    overlay = ModuleType("overlay")
    overlay.cost = cost
    plain, with_energy = estimated(module("toner")), estimated(module("toner"), overlay)
    for before, after in zip(plain.offers, with_energy.offers, strict=True):
        assert after.cost > before.cost
    labels = {line.label for line in with_energy.plan.table.lines}
    assert "energy surcharge" in labels


def test_press_figures_are_checked_by_the_schema_of_the_plug_in():
    with pytest.raises(Exception, match="running_share"):
        press("toner", running_share=1.5)
