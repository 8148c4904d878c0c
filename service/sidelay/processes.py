"""The plug-ins: found through entry points, checked, called one process at a time, walled off.

A fault of a plug-in costs its own presses only. It is logged with its traceback under a reference
number; the answer names the press and the number.
"""

from __future__ import annotations

import contextlib
import dataclasses
import gc
import hashlib
import inspect
import logging
import signal
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.metadata import EntryPoint, entry_points
from types import FrameType
from typing import Any

import pluggy

from . import hookspecs
from .job import Job, Part
from .plugin import PressSchema
from .promises import (
    BadAnswer,
    checked_abilities,
    checked_charges,
    checked_findings,
    checked_layouts,
    checked_process,
    checked_run,
)
from .work import Abilities, Charge, Finding, Layout, Press, Process, Run, Work

PROJECT = "sidelay"
HOOKS = ("process", "press_schema", "constraints", "layouts", "speed", "cost", "abilities")
# Seconds of processor time that the hooks of one press may take for one part.
HOOK_BUDGET_S = 0.5
# A hook that waits is stopped after so many times its budget by the clock.
WAITING_SHARE = 10

HookCall = Callable[..., Any]

log = logging.getLogger(__name__)


class PressUnavailable(Exception):  # noqa: N818  (an answer about a press, not a fault of ours)
    """The plug-in of a press failed; `reference` finds the traceback in the log."""

    def __init__(self, reference: str) -> None:
        super().__init__(reference)
        self.reference = reference


class BadPlugin(Exception):  # noqa: N818
    """A plug-in does not keep the contract; the message names it and says what to mend."""


class _OutOfTime(BaseException):
    """Raised in a hook that outlasts its budget; a plug-in's `except Exception` cannot hold it."""


@dataclass(frozen=True)
class PluginFault:
    """A plug-in that could not be used, and why."""

    name: str
    why: str


class Processes:
    """The registry: every process that a plug-in models. Make one with `discover`.

    faults: plug-ins that could not be used
    versions: distribution and version of each plug-in that an entry point led to, by its name
    """

    def __init__(self) -> None:
        self._manager = pluggy.PluginManager(PROJECT)
        self._manager.add_hookspecs(hookspecs)
        self._modules: dict[str, Any] = {}
        self._about: dict[str, Process] = {}
        self._schemas: dict[str, PressSchema] = {}
        self._calls: dict[tuple[str, str], HookCall] = {}
        self.faults: list[PluginFault] = []
        self.versions: dict[str, str] = {}

    @classmethod
    def discover(cls) -> Processes:
        """Return the registry of all plug-ins that are installed, in the order of their names."""
        registry, seen = cls(), set()
        for point in sorted(
            entry_points(group=PROJECT), key=lambda point: (point.name, point.value)
        ):
            if point.name in seen:
                registry.refuse(point.name, f"two plug-ins are called {point.name!r}; rename one")
                continue
            seen.add(point.name)
            registry._add_entry_point(point)
        return registry

    def _add_entry_point(self, point: EntryPoint) -> None:
        try:
            self.add(point.name, point.load())
            if point.dist is not None:
                self.versions[point.name] = f"{point.dist.name} {point.dist.version}"
        except BadPlugin as fault:
            self.refuse(point.name, str(fault))
        except (Exception, SystemExit) as fault:  # noqa: BLE001  the wall: any import may fail
            self.refuse(point.name, f"could not be imported: {type(fault).__name__}: {fault}")

    def refuse(self, name: str, why: str) -> None:
        """Note a plug-in that is left out; the service goes on without it."""
        log.error("plug-in %s left out: %s", name, why)
        self.faults.append(PluginFault(name, why))

    def add(self, name: str, module: Any) -> None:
        """Register one plug-in. Raises BadPlugin when it does not keep the contract."""
        _check_marks(name, module)
        try:
            self._manager.register(module, name)
            self._manager.check_pending()
            if hasattr(module, "process"):
                self._own(name, module)
        except BaseException as fault:
            # Whatever went wrong: left registered, it would be called as an overlay of the others.
            if self._manager.is_registered(module):
                self._manager.unregister(module)
            if isinstance(fault, pluggy.PluginValidationError):
                raise BadPlugin(f"{name}: {fault}") from fault
            raise
        self._calls.clear()

    def _own(self, name: str, module: Any) -> None:
        if not hasattr(module, "press_schema"):
            raise BadPlugin(f"{name}: a process plug-in needs press_schema as well as process")
        schema_class = _answer(name, "press_schema", module)
        try:
            about = checked_process(_answer(name, "process", module))
        except BadAnswer as fault:
            raise BadPlugin(f"{name}: {fault}") from fault
        if about.id in self._about:
            raise BadPlugin(f"{name}: process {about.id!r} is already modelled by another plug-in")
        if not (isinstance(schema_class, type) and issubclass(schema_class, PressSchema)):
            raise BadPlugin(f"{name}: press_schema() must return a subclass of PressSchema")
        self._schemas[about.id] = schema_class()
        _check_press_class(name, self._schemas[about.id])
        self._modules[about.id] = module
        self._about[about.id] = about

    @property
    def about(self) -> Mapping[str, Process]:
        """Every process by id, in the order of ids."""
        return {process_id: self._about[process_id] for process_id in sorted(self._about)}

    def press_schema(self, process_id: str) -> PressSchema:
        """Return the schema of a process's presses. Raises KeyError for a process not known."""
        return self._schemas[process_id]

    def constraints(self, process_id: str, press: Press, part: Part, job: Job) -> list[Finding]:
        """Ask what stands against a part on a press. Raises PressUnavailable."""
        with self._wall(process_id, press):
            answers = self._call(process_id, "constraints")(press=press, part=part, job=job)
            return checked_findings([finding for answer in answers for finding in answer])
        raise AssertionError("unreachable")

    def layouts(self, process_id: str, press: Press, part: Part) -> tuple[Layout, ...] | None:
        """Ask for the model's own layouts, None when it leaves that to the core."""
        call = self._call(process_id, "layouts")
        if call is _nobody:
            return None
        with self._wall(process_id, press):
            answer = call(press=press, part=part, stock=part.stock)
            return None if answer is None else checked_layouts(answer, part)
        raise AssertionError("unreachable")

    def runs(
        self, process_id: str, press: Press, works: Sequence[Work]
    ) -> list[tuple[Work, Run, tuple[Charge, ...]]]:
        """Ask how each work runs and costs; those the press cannot run are left out."""
        speed, cost = self._call(process_id, "speed"), self._call(process_id, "cost")
        found = []
        with self._wall(process_id, press):
            for work in works:
                answer = speed(press=press, work=work)
                if answer is None:
                    continue
                run = checked_run(answer)
                answers = cost(press=press, work=work, run=run)
                found.append(
                    (work, run, checked_charges([c for answer in answers for c in answer]))
                )
        return found

    def abilities(self, process_id: str, press: Press) -> Abilities | None:
        """Ask what a press can do; None where its model does not say. Raises PressUnavailable."""
        with self._wall(process_id, press):
            return checked_abilities(self._call(process_id, "abilities")(press=press))
        raise AssertionError("unreachable")

    def _call(self, process_id: str, hook: str) -> HookCall:
        """Return a caller that reaches one process and every overlay."""
        key = process_id, hook
        if key not in self._calls:
            others = [module for other, module in self._modules.items() if other != process_id]
            self._calls[key] = _shortest(self._manager.subset_hook_caller(hook, others))
        return self._calls[key]

    @contextlib.contextmanager
    def _wall(self, process_id: str, press: Press) -> Iterator[None]:
        """Turn anything that a hook does wrong into PressUnavailable."""
        try:
            with _budget(HOOK_BUDGET_S):
                yield
        except (Exception, SystemExit, _OutOfTime) as fault:
            kind = "too slow" if isinstance(fault, _OutOfTime) else type(fault).__name__
            words = f"{process_id}|{press.id}|{kind}|{fault}"
            reference = hashlib.sha256(words.encode()).hexdigest()[:10]
            log.exception(
                "press %s (%s) unavailable, reference %s", press.id, process_id, reference
            )
            raise PressUnavailable(reference) from None


def _nobody(**_: Any) -> None:
    """Answer a hook that is asked for one answer and that nobody has."""


def _shortest(caller: pluggy.HookCaller) -> HookCall:
    """Return what answers as a caller does, without its machinery where one plug-in answers alone.

    A plan asks some hundred times, and overlays are few.
    """
    found, spec = caller.get_hookimpls(), caller.spec
    one_answer = bool(spec and spec.opts["firstresult"])
    if not found and one_answer:
        return _nobody
    if len(found) != 1 or found[0].wrapper or found[0].hookwrapper:
        return caller
    impl = found[0]

    def alone(**given: Any) -> Any:
        answer = impl.function(*[given[name] for name in impl.argnames])
        if one_answer:
            return answer
        return [] if answer is None else [answer]

    return alone


def _answer(name: str, hook: str, module: Any) -> Any:
    """Return what a hook that takes nothing answers. Raises BadPlugin."""
    try:
        return getattr(module, hook)()
    except Exception as fault:
        raise BadPlugin(f"{name}: {hook}() raised {type(fault).__name__}: {fault}") from fault


def _check_press_class(name: str, schema: PressSchema) -> None:
    """Refuse a press class that cannot be made from what its schema loads."""
    wanted = dataclasses.fields(schema.press_class)
    told, known = set(schema.fields), {field.name for field in wanted}
    press = schema.press_class.__name__
    if extra := sorted(told - known):
        raise BadPlugin(f"{name}: the schema has {', '.join(extra)}, which {press} has not")
    needed = {
        field.name
        for field in wanted
        if field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING
    }
    left_out = schema.may_be_left_out()
    if missing := sorted(needed - told):
        raise BadPlugin(f"{name}: {press} has {', '.join(missing)}, which the schema has not")
    if unset := sorted(needed & left_out):
        raise BadPlugin(
            f"{name}: {', '.join(unset)} may be left out of a plant file: give {press} a default"
        )


def _check_marks(name: str, module: Any) -> None:
    """Refuse a hook that lacks its mark: pluggy would pass over it in silence."""
    for hook in HOOKS:
        function = getattr(module, hook, None)
        if inspect.isfunction(function) and not hasattr(function, f"{PROJECT}_impl"):
            raise BadPlugin(f"{name}: {hook} lacks its @hookimpl")


def _stop(_signal: int, _frame: FrameType | None) -> None:
    raise _OutOfTime


@contextlib.contextmanager
def watching() -> Iterator[None]:
    """Have the hooks called in the body stopped in time: only the main thread can be interrupted.

    For many calls in a row; each sees to it by itself where nobody has.
    """
    if threading.current_thread() is not threading.main_thread() or _is_watched():
        yield
        return
    numbers = signal.SIGVTALRM, signal.SIGALRM
    before = [signal.signal(number, _stop) for number in numbers]
    try:
        yield
    finally:
        for number, handler in zip(numbers, before, strict=True):
            signal.signal(number, handler)


def _is_watched() -> bool:
    return signal.getsignal(signal.SIGVTALRM) is _stop


@contextlib.contextmanager
def _budget(seconds: float) -> Iterator[None]:
    """Raise _OutOfTime in the body after so much of the processor's time, or many times so long.

    The processor's time does not depend on what else the machine does; the time of day stops what
    only waits. The garbage collector rests meanwhile: what it takes is not the hook's, and nothing
    may be raised in the midst of it.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    collects = gc.isenabled()
    with contextlib.nullcontext() if _is_watched() else watching():
        gc.disable()
        signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
        signal.setitimer(signal.ITIMER_REAL, seconds * WAITING_SHARE)
        try:
            yield
        finally:
            signal.setitimer(signal.ITIMER_VIRTUAL, 0)
            signal.setitimer(signal.ITIMER_REAL, 0)
            if collects:
                gc.enable()


__all__ = ["BadAnswer", "BadPlugin", "PluginFault", "PressUnavailable", "Processes", "watching"]
