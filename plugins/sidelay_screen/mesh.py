"""Screens: which inks need one, which mesh it takes, the ink it lays down, what it costs."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Literal, cast

from sidelay.plugin import Charge, Form, Ink, Part, Side, Work, screen_deposit_um

from .press import ScreenPress

CM_PER_IN = 2.54
MIN_PER_HOUR = 60.0
LEAST_INKS_OF_A_PICTURE = 3
FINE_PLAIN_MESH_PER_CM = 43.0  # below it the deposit hangs on the thread: screen_deposit_um
UNDER_BASE = Ink("white under-base", "white")


def needs_under_base(press: ScreenPress, part: Part, inks: tuple[Ink, ...]) -> bool:
    """Whether a side wants a white that the job does not name: light inks on dark stock.

    Where the job prints white anyway, that white goes down first and is the under-base.
    """
    light = any(ink.name not in press.dark_inks and ink.kind != "varnish" for ink in inks)
    return part.stock.tone == "dark" and light and all(ink.kind != "white" for ink in inks)


def flashes(press: ScreenPress, part: Part, inks: tuple[Ink, ...]) -> int:
    """How often a piece is flashed on a carousel: once where inks go over a white on dark stock."""
    if not press.carousel or part.stock.tone != "dark":
        return 0
    white = sum(ink.kind == "white" for ink in inks)
    under = needs_under_base(press, part, inks) or white > 0
    return 1 if under and len(inks) > white else 0


def with_under_base(press: ScreenPress, work: Work) -> Work:
    """Return the work with a white under-base on each form that needs one, printed first."""
    forms = tuple(
        Form(form.prints, (UNDER_BASE, *form.inks))
        if needs_under_base(press, work.part, form.inks)
        else form
        for form in work.forms
    )
    return replace(work, forms=forms)


def stations_needed(screens: int, flashed: int, cooled: int) -> int:
    """Heads that a side takes on an automatic carousel: 6 colours, flash and cool-down take 8.

    Source: screen printing glossaries (two garment printers).
    """
    return screens + flashed + cooled


def heads(press: ScreenPress, part: Part, inks: tuple[Ink, ...]) -> int:
    """Heads that a side takes on a press, with its under-base, flash and cool-down."""
    screens = len(inks) + needs_under_base(press, part, inks)
    # On a manual carousel the flash unit swings in beside the heads.
    if press.machine != "automatic_carousel":
        return screens
    count = flashes(press, part, inks)
    return stations_needed(screens, count * press.flash_stations, count * press.cool_down_stations)


def is_picture(part: Part) -> bool:
    """Whether process inks print halftones: three of them on a side, or tone steps asked for."""
    most = max((sum(i.kind == "process" for i in side.inks) for side in part.sides), default=0)
    tones = most >= LEAST_INKS_OF_A_PICTURE or part.tone_steps is not None
    return tones and part.ruling_lpi > 0


def least_mesh_per_cm(press: ScreenPress, ruling_lpi: float) -> float:
    """Coarsest mesh [threads/cm] that holds a ruling: threads for each line x lines."""
    return press.mesh_threads_per_line * ruling_lpi / CM_PER_IN


def most_ruling_lpi(press: ScreenPress) -> float:
    """Finest ruling [lines/in] that the finest mesh in stock holds."""
    return press.finest_mesh_per_cm * CM_PER_IN / press.mesh_threads_per_line


def mesh_per_cm(press: ScreenPress, part: Part, ink: Ink) -> float:
    """Mesh [threads/cm] in stock for an ink: the coarsest that holds the ruling, or that of solids.

    Where none is fine enough, the finest: `constraints` has refused that already.
    """
    meshes = [count for count, _ in press.mesh_fabric_um]
    if ink.kind == "process" and is_picture(part):
        least = least_mesh_per_cm(press, part.ruling_lpi)
        return next((mesh for mesh in meshes if mesh >= least), meshes[-1])
    return next((m for m in reversed(meshes) if m <= press.solid_mesh_per_cm), meshes[0])


def deposit_um(press: ScreenPress, mesh: float) -> float:
    """Wet film [um, which is ml/m2] of a mesh in stock [threads/cm]."""
    return _deposit_um(press.mesh_fabric_um, press.mesh_thread_um, press.weave, mesh)


@lru_cache(maxsize=512)
def _deposit_um(
    fabrics: tuple[tuple[float, float], ...],
    threads: tuple[tuple[float, float], ...],
    weave: str,
    mesh: float,
) -> float:
    # A mesh may be told without its thread: only coarse plain ones need it.
    thread = dict(threads).get(mesh)
    woven = cast(Literal["plain", "twill"], weave)
    if woven == "plain" and mesh < FINE_PLAIN_MESH_PER_CM:
        return screen_deposit_um(mesh, thread_um=thread, weave=woven)
    return screen_deposit_um(mesh, fabric_um=dict(fabrics)[mesh], weave=woven)


def under_base_m2(press: ScreenPress, work: Work) -> float:
    """Area of one cycle under which white lies [m2]: all that light inks cover, at most all."""
    part = work.part
    share = sum(_under_share(press, part, side) for side in part.sides)
    return share * part.printed_area_m2 * work.layout.pieces_per_cycle


def _under_share(press: ScreenPress, part: Part, side: Side) -> float:
    if not needs_under_base(press, part, side.inks):
        return 0.0
    shares = (side.covered(ink) for ink in side.inks if ink.name not in press.dark_inks)
    return min(1.0, sum(shares))


def screen_price(press: ScreenPress) -> float:
    """Money for one screen: its share of a new frame, a stencil, and the labour of the room."""
    labour = press.screen_labour_min / MIN_PER_HOUR * press.screen_labour_rate_per_hour
    return (1 - press.reused_share) * press.screen_price + press.stencil_price + labour


def carrier_charge(press: ScreenPress, work: Work) -> Charge:
    """Return the charge of making the screens of a work that has its under-base."""
    pulls = 2 if work.forms[0].prints == "both" else 1
    meshes = sorted({mesh_per_cm(press, work.part, ink) for f in work.forms for ink in f.inks})
    told = ", ".join(f"{mesh:g}" for mesh in meshes)
    return Charge(
        "carrier",
        "screens",
        screen_price(press),
        "carrier",
        amount=work.carriers,
        life=max(1.0, press.stencil_life_pulls / pulls),
        because=f"one for each ink of {len(work.forms)} form(s) with any under-base, mesh {told} "
        f"threads/cm; {1 - press.reused_share:.0%} of a new frame at {press.screen_price:g}, "
        f"stencil {press.stencil_price:g}, {press.screen_labour_min:g} min of labour; new "
        f"stencils after {press.stencil_life_pulls:,.0f} pulls",
        source=press.source("stencil_price"),
        lead_days=press.screen_lead_days,
    )
