"""The contract of a process plug-in: every hook, what it gets, what it gives, what it promises.

A plug-in is a module registered under the entry-point group "sidelay". It marks its functions with
`sidelay.plugin.hookimpl` and imports nothing else of sidelay than `sidelay.plugin`.

A process plug-in implements `process` and owns that process id. An overlay plug-in does not: its
functions are called for every process. Wrap a hook (`@hookimpl(wrapper=True)`) to change what a
process answers, or implement `constraints` or `cost` plainly to add findings or charges.

A plug-in knows the process; the core knows the arithmetic. A hook never loops over quantities,
rounds money, adds a calendar day or reads a file. The core checks what comes back: finite, not
negative, the right type, and no cost that falls as the run grows. A hook that raises, answers
nonsense or takes too long costs its own press only: the answer names that press as unavailable.
"""

from __future__ import annotations

from collections.abc import Sequence

import pluggy

from .job import Job, Part
from .stock import Stock
from .work import Abilities, Charge, Finding, Layout, Press, Process, Run, Work

hookspec = pluggy.HookspecMarker("sidelay")


@hookspec(firstresult=True)
def process() -> Process:  # type: ignore[empty-body]
    """Say what the process is.

    Called once, at start. The id becomes the `process` of every press of yours in a plant file.

        return Process(id="stencil", name="Stencil duplicating", image_carrier="...", ...)
    """


@hookspec(firstresult=True)
def press_schema() -> type:  # type: ignore[empty-body]
    """Return your subclass of `sidelay.plugin.PressSchema`.

    Its fields are the parameters of a press of this process, each made with `figure`, so that it
    has a unit, a range and a description; its `press_class` is the frozen dataclass to load into.
    The plant file, the API and the documentation are all built from it.
    """


@hookspec
def constraints(press: Press, part: Part, job: Job) -> Sequence[Finding]:  # type: ignore[empty-body]
    """Say what stands against printing a part on a press.

    press: your dataclass, loaded from the plant file
    part: what is wanted; `part.stock` is the paper that will be used
    job: the job it belongs to (quality, uses)

    Return no finding when nothing stands against it. A "limit" excludes the press, and should carry
    the remedy that would admit it; a "caution" is shown with the answer. Whether a sheet of the
    stock fits the press is the core's to find out.

    `change` tells the core the remedy where it leaves the piece the same: {member: value} of the
    part or the job, as `changes.MEMBERS` names them; {"may_simulate": [names of inks]}; or
    ANOTHER_STOCK, for which the core asks again with the stocks of the plant. Promise: with the
    member so, the finding is gone.

        if part.stock.caliper_um > press.max_caliper_um:
            return [Finding("limit", "caliper_above", "the board is too thick for the grippers",
                            part.stock.caliper_um, press.max_caliper_um, "um",
                            "choose a stock up to 300 um", ANOTHER_STOCK)]
        if part.ruling_lpi > press.max_ruling_lpi:
            return [Finding("limit", "ruling_too_fine", "the screen fills in",
                            part.ruling_lpi, press.max_ruling_lpi, "lpi", "take a coarser ruling",
                            {"ruling_lpi": press.max_ruling_lpi})]
    """


@hookspec(firstresult=True)
def layouts(press: Press, part: Part, stock: Stock) -> Sequence[Layout] | None:
    """Lay the part out yourself, where the core's imposition for `press.feed` does not fit.

    Optional. Return None, or leave the hook out, to use the core's.
    """


@hookspec(firstresult=True)
def speed(press: Press, work: Work) -> Run | None:
    """Say how the press runs a work: passes, make-ready, net speed, waste, wash-up, drying.

    work: the part on a press sheet: `work.layout` (sheet, style, up) and `work.forms` (carriers)

    Return None when the press cannot run this one layout (perfecting with too many inks on a side,
    say); the others still compete. `rated_per_hour` is optional: what the press would do of this
    work if nothing slowed it, shown beside the net speed.

    Promises: every figure finite and not negative, cycles_per_hour 1 or more, and for a Curve that
    x * running_waste(x) and x / cycles_per_hour(x) never fall as x grows; rated_per_hour never less
    than cycles_per_hour.
    """


@hookspec
def cost(press: Press, work: Work, run: Run) -> Sequence[Charge]:  # type: ignore[empty-body]
    """List what the work costs beside stock and press hours: carriers, ink, clicks, solvents.

    run: what `speed` answered for the same work

        return [Charge("carrier", "plates", press.plate_price, "carrier", amount=work.carriers,
                       life=press.plate_life_cycles, because="one plate an ink and form")]
    """


@hookspec(firstresult=True)
def abilities(press: Press) -> Abilities | None:
    """Say what a press can do, whatever the job: its figures in the table of processes.

    press: your dataclass, loaded from the plant file

    Optional. Leave the hook out, or return None, and the table has no figures of your presses.
    Leave out single figures that your process has nothing to say about.

    Promises: read from the parameters and by the functions that `constraints` and `speed` use, so
    that the table never disagrees with a finding. A job at exactly the finest ruling told has no
    finding about its ruling; one ink more than told in one pass takes another pass, or is refused.
    Windows rise; figures are finite and above 0. A hook that fails loses its own figures only:
    the press is priced all the same.

        return usual_abilities(press, inks_in_one_pass=press.units, two_sided=False,
                               special_inks=["spot"], tones=tones(press),
                               rated_speed=press.rated_sheets_per_hour)
    """
