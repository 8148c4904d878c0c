"""What a press says that it can do agrees with what its model finds and how it runs: all presses.

Every press of the demo plant is asked at exactly the figure told, and a step beyond it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from shop import CMYK, EXAMPLES, demo, example, job, leaf, press, processes, stock, with_inks
from sidelay.curve import Curve
from sidelay.feeds import PieceFeed, ReelFeed, SheetFeed, WebFeed
from sidelay.imposition.works import works
from sidelay.job import PROCESS_INKS, QUALITIES, SPECIAL_INKS, Ink, Part
from sidelay.plan import Planner
from sidelay.plant import InstalledPress
from sidelay.stock import Blank, ParentSheet, Reel
from sidelay.work import Abilities, Run

RULING = {"ruling_too_fine", "mesh_too_coarse"}
TOO_MANY = {"too_many_inks", "ink_unavailable"}

each_press = pytest.mark.parametrize(
    "installed", demo().presses, ids=[each.press.id for each in demo().presses]
)


def told(installed: InstalledPress) -> Abilities:
    found = processes().abilities(installed.process, installed.press)
    assert found is not None
    return found


def fitting(installed: InstalledPress, **members: Any) -> Part:
    """A part that the press can print by size and stock, in black on one side."""
    feed, can = installed.press.feed, told(installed)
    low, high = can.caliper_um
    kind, size = {
        SheetFeed: ("leaf", (140.0, 90.0)),
        WebFeed: ("leaf", (200.0, 140.0)),
        ReelFeed: ("label", (60.0, 50.0)),
        PieceFeed: ("piece", (40.0, 12.0)),
    }[type(feed)]
    supplies: dict[str, Any] = {"sheets": ()}
    match feed:
        case SheetFeed() if installed.press.id == "cij_addressing":
            size = (200.0, 140.0)  # fed singly
            supplies["sheets"] = (ParentSheet(140, 200, "long", 0.1, "test"),)
        case SheetFeed():
            short, long = sorted((feed.max_width_mm, feed.max_length_mm))
            supplies["sheets"] = (ParentSheet(short, long, "long", 0.1, "test"),)
        case PieceFeed():
            supplies["blanks"] = (Blank("piece", 400, 500, 1.0, "test"),)
        case _:
            length = min(6000.0, feed.max_reel_m)
            supplies["reels"] = (Reel(feed.max_width_mm, length, 0.2, "test"),)
    paper = stock(
        grade=(can.grades or ("coated",))[0],
        caliper_um=min(low * 1.5, high),
        grammage_gsm=min(can.grammage_gsm[0] * 1.5, can.grammage_gsm[1]),
        treated=True,
        **supplies,
    )
    width, height = size
    wanted = leaf(width, height, kind=kind, bleed_mm=0.0, ruling_lpi=20.0, stock=paper)
    if installed.press.id == "cij_addressing":
        members = {"variable_share": 0.1} | members
    return replace(with_inks(wanted, (Ink("black"),), coverage=0.02), **members)


def codes(installed: InstalledPress, part: Part, quality: str = "draft") -> set[str]:
    wanted = job(part, quality=quality)
    found = processes().constraints(installed.process, installed.press, part, wanted)
    return {finding.code for finding in found if finding.severity == "limit"}


def runs(installed: InstalledPress, part: Part) -> list[Run]:
    laid = works(part, installed.press.feed)
    return [run for _, run, _ in processes().runs(installed.process, installed.press, laid)]


def inks(installed: InstalledPress, count: int) -> tuple[Ink, ...]:
    """So many inks: first those that the press holds, where it prints no others."""
    holds = {"toner": "stations", "dod_inkjet": "channels"}.get(installed.process)
    held = getattr(installed.press, holds) if holds else ()
    kinds = {"white": "white", "varnish": "varnish"}
    named = [Ink(name, kinds.get(name, "process")) for name in held]
    named += [Ink(f"house colour {number}", "spot") for number in range(20)]
    return tuple(named[:count])


@each_press
def test_the_part_of_these_tests_prints_on_the_press(installed):
    part = fitting(installed)
    assert codes(installed, part) == set()
    assert runs(installed, part)


@each_press
def test_the_finest_ruling_told_is_the_finest_that_has_no_finding(installed):
    part = with_inks(fitting(installed), CMYK)
    part = replace(part, ruling_lpi=told(installed).finest_ruling_lpi)
    assert not codes(installed, part) & RULING
    assert codes(installed, replace(part, ruling_lpi=part.ruling_lpi + 1)) & RULING


@each_press
def test_one_ink_more_than_told_takes_another_pass_or_is_refused(installed):
    most = told(installed).inks_in_one_pass
    fits, beyond = (with_inks(fitting(installed), inks(installed, n), coverage=0.02)
                    for n in (most, most + 1))  # fmt: skip
    assert not codes(installed, fits) & TOO_MANY
    assert {run.passes for run in runs(installed, fits)} == {1}
    refused = codes(installed, beyond) & TOO_MANY
    assert refused or {run.passes for run in runs(installed, beyond)} == {2}


@each_press
def test_both_sides_print_in_one_pass_where_that_is_told(installed):
    part = fitting(installed)
    both = with_inks(part, part.front.inks, part.front.inks, coverage=0.02)
    passes = {run.passes for run in runs(installed, both)}
    assert (1 in passes) is told(installed).two_sided


@each_press
def test_the_special_inks_told_are_those_that_are_not_refused(installed):
    able = set()
    for kind in SPECIAL_INKS:
        wanted = with_inks(fitting(installed), (Ink(kind, kind),), coverage=0.02)
        if "ink_unavailable" not in codes(installed, wanted):
            able.add(kind)
    assert able == set(told(installed).special_inks)


@each_press
def test_stock_is_refused_just_outside_of_the_windows_told(installed):
    can, part = told(installed), fitting(installed)
    for name, window, code in (
        ("caliper_um", can.caliper_um, "caliper_outside"),
        ("grammage_gsm", can.grammage_gsm, "grammage_outside"),
    ):
        for edge, beyond in zip(window, (window[0] * 0.999, window[1] * 1.001), strict=True):
            for figure, found in ((edge, False), (beyond, True)):
                on = replace(part, stock=replace(part.stock, **{name: figure}))
                assert (code in codes(installed, on)) is found
    other = replace(part, stock=replace(part.stock, grade="slate"))
    assert ("grade_unsuitable" in codes(installed, other)) is bool(can.grades)
    for grade in can.grades:
        same = replace(part, stock=replace(part.stock, grade=grade))
        assert "grade_unsuitable" not in codes(installed, same)


@each_press
def test_quality_register_and_tone_steps_are_refused_beyond_what_is_told(installed):
    can, part = told(installed), with_inks(fitting(installed), CMYK[:2], coverage=0.02)
    finest = QUALITIES.index(can.finest_quality)
    assert "quality_above" not in codes(installed, part, can.finest_quality)
    for better in QUALITIES[finest + 1 :]:
        assert "quality_above" in codes(installed, part, better)
    for share, found in ((1.0, False), (0.99, True)):
        tight = replace(part, register_mm=can.register_mm * share)
        assert ("register_too_tight" in codes(installed, tight)) is found
    for more, found in ((0, False), (1, True)):
        tones = replace(
            part, ruling_lpi=can.finest_ruling_lpi, tone_steps=can.tone_steps() + more
        )
        assert ("tone_steps_below" in codes(installed, tones)) is found


@each_press
def test_the_rated_speed_told_is_the_one_that_runs_start_from(installed):
    """In sheets as told, but toner on sheets of its own length and lines held by their belt."""
    can, part = told(installed), fitting(installed)
    laid = works(part, installed.press.feed)
    held = installed.process in {"toner", "web_litho", "continuous_inkjet"}
    for work, run, _ in processes().runs(installed.process, installed.press, laid):
        in_unit = {
            "{cycle}/h": 1.0,
            "m/min": work.layout.length_m / 60,
            "m2/h": work.layout.area_m2,
        }[can.rated_unit]
        rated = run.rated_per_hour * in_unit
        assert rated <= can.rated_speed * (1 + 1e-9)
        if not held or can.rated_unit == "m/min":
            assert rated == pytest.approx(can.rated_speed)
        assert run.cycles_per_hour < run.rated_per_hour


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.json")))
def test_no_press_runs_faster_than_it_is_rated(name):
    """Every route of every example, at every point of its speed."""
    plan = Planner(processes()).plan(example(name), demo())
    makeups = plan.job_table.makeups if plan.job_table else ()
    assert makeups or name == "oversize_poster"
    for makeup in makeups:
        for route in (route for table in makeup.parts for route in table.routes):
            speed = route.run.cycles_per_hour
            fastest = max(v for _, v in speed.points) if isinstance(speed, Curve) else speed
            assert fastest <= route.run.rated_per_hour * (1 + 1e-9), route.press.id


def test_a_station_beside_the_process_toners_is_told_by_the_kind_of_its_ink():
    installed = press("toner", stations=[*PROCESS_INKS, "white", "clear", "orange"])
    can = told(installed)
    assert (can.inks_in_one_pass, can.special_inks) == (7, ("spot", "white", "varnish"))
    held = (Ink("white", "white"), Ink("clear", "varnish"), Ink("orange", "spot"))
    assert "ink_unavailable" not in codes(installed, with_inks(leaf(), held))
    for refused in (Ink("silver", "metallic"), Ink("pink", "fluorescent")):
        assert "ink_unavailable" in codes(installed, with_inks(leaf(), (refused,)))


def test_a_perfector_without_its_drum_or_without_its_style_prints_one_side_at_a_time():
    assert told(press("sheetfed_litho", perfecting_after_unit=1)).two_sided is True
    assert told(press("sheetfed_litho")).two_sided is False
    one_way = {"work_styles": ["one_side", "sheetwise"]}
    assert told(press("sheetfed_litho", perfecting_after_unit=1, feed=one_way)).two_sided is False


def test_a_mesh_too_coarse_for_the_ruling_makes_the_ruling_told_coarser():
    screen = next(each for each in demo().presses if each.press.id == "screen_flatbed")
    coarse = replace(screen.press, mesh_fabric_um=screen.press.mesh_fabric_um[:1])
    can = told(InstalledPress("screen", coarse))
    assert can.finest_ruling_lpi < told(screen).finest_ruling_lpi
    assert can.finest_ruling_lpi == pytest.approx(
        coarse.mesh_fabric_um[0][0] * 2.54 / coarse.mesh_threads_per_line
    )
