"""Faults of a request: where each stands, its code, and what was expected there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any
from urllib.parse import quote

Path = tuple[str | int, ...]

# Every code a fault can have. The list is open: later releases add to it.
FAULT_CODES: Mapping[str, str] = MappingProxyType(
    {
        "required": "a member that must be given is missing",
        "unknown_member": "a member that is not known here",
        "conflicting_members": "members that exclude each other",
        "not_a_string": "expected a string",
        "not_a_number": "expected a finite number",
        "not_an_integer": "expected a whole number; 500.0 is one, 1.5 and \"500\" are not",
        "not_a_boolean": "expected true or false",
        "not_an_array": "expected an array",
        "not_an_object": "expected an object",
        "wrong_type": "expected a name or an object",
        "not_a_date_time": "expected a date and a time, as RFC 3339 writes them",
        "no_offset": "a date-time without its offset from UTC",
        "due_past": "a due date that is not after the clock of the request",
        "wrong_length": "a string too short or too long",
        "out_of_range": "a number below or above its range",
        "too_few": "fewer items than needed",
        "too_many": "more items than allowed",
        "unknown_value": "not one of the words allowed",
        "unknown_parameter": "a query parameter that is not known here",
        "parameter_twice": "a query parameter given more than once",
        "unknown_size": "no size has this name",
        "unknown_ink": "a name on its own that is not a process ink's",
        "unknown_stock": "the plant has no such stock",
        "unknown_plant": "no plant has this id",
        "unknown_revision": "no plant file of this revision is kept",
        "revision_unreadable": "a plant file that is kept, and that this service cannot read",
        "not_a_revision": "expected 12 hexadecimal digits",
        "unknown_process": "no press of the plant runs this process",
        "unknown_press": "the plant has no press of this id",
        "no_press_left": "the filters leave no press",
        "odd_pages": "a leaf has two pages a panel",
        "pages_multiple": "a binding takes pages in whole leaves or folded sheets",
        "same_name_twice": "two parts have one name",
        "unknown_operation": "no machine of the plant does this, and it is not bought out",
        "unknown_machine": "no machine of this id is there, or it does not do this",
        "unknown_finish": "nobody does this finish",
        "unknown_method": "nobody binds so for the plant",
        "conflicting_operations": "operations that cannot be on the same part",
        "cover_unbound": "a cover without anything bound",
        "second_cover": "a copy has one cover",
        "nothing_to_bind": "a binding, or an insert, without sections or leaves",
        "sizes_differ": "what is bound together has one size",
        "carton_uncut": "a carton that no operation cuts out",
        "same_ink_twice": "an ink stands twice on one side",
        "same_press_twice": "a press stands twice among those that tell their last job",
        "unknown_line": "no line of the batch has this id",
        "same_machine_twice": "a machine stands twice among those that tell their queue",
        "nothing_to_print": "neither side has an ink",
        "too_close": "two presses cost too nearly the same to tell apart up to this quantity",
        "weights_sum": "weights that do not sum to 1",
        "above_up_to": "bands that would end before they begin",
        "options_conflict": "options of a product that do not go together",
        "unknown_language": "a language that the catalogue is not told in",
        "no_quote_keys": "this service has no key to sign quotes with",
        "fold_mismatch": "sizes, pages and folds do not fit together",
        "unsupported": "what a document asks is understood, but not estimated here",
        "several_roots": "a document with more than one root product",
        "unknown_product": "a reference to a product that the document does not list",
        "circular_reference": "a reference that leads back to where it stands",
        "same_id_twice": "an id, or a reference to one, stands twice",
    }
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a request.

    path: the members and indices that lead to it in the body
    parameter: the query parameter that it stands in, "" for a fault of the body
    """

    path: Path
    code: str
    detail: str
    parameter: str = ""

    @property
    def pointer(self) -> str:
        """The path as a JSON Pointer in a URI fragment (RFC 6901, section 6).

        A query parameter is nowhere in the body: its faults point to the whole of it.
        """
        steps = (str(step).replace("~", "~0").replace("/", "~1") for step in self.path)
        return "#" + "".join("/" + quote(step, safe="~!$&'()*+,;=:@") for step in steps)


def sentence(text: str) -> str:
    """Return words as a sentence: a capital first, a full stop at the end."""
    return f"{text[:1].upper()}{text[1:]}."


class InvalidRequest(Exception):  # noqa: N818  (an answer to the caller, not a fault)
    """A request that is well-formed but cannot be met, with every fault found, in order."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__(", ".join(f"{fault.pointer} {fault.code}" for fault in faults))
        self.faults = faults


class Faults:
    """Collects the faults of one request."""

    def __init__(self, found: Iterable[Fault] = ()) -> None:
        self._found = list(found)

    def add(self, path: Path, code: str, detail: str) -> None:
        """Note one fault."""
        self._found.append(Fault(path, code, detail))

    def any(self) -> bool:
        """Whether a fault was found."""
        return bool(self._found)

    def clear_of(self, *paths: Path) -> bool:
        """Whether no fault stands at these paths or below them."""
        return not any(fault.path[: len(path)] == path for path in paths for fault in self._found)

    def stop(self) -> None:
        """Raise InvalidRequest with what was found, if anything, in the order of the paths."""
        if self._found:
            raise InvalidRequest(sorted(self._found, key=_order))


def _order(fault: Fault) -> tuple[Any, ...]:
    """Sort indices as numbers and members as words, an item before what is inside it."""
    steps = tuple((0, step, "") if isinstance(step, int) else (1, 0, step) for step in fault.path)
    return steps, fault.parameter, fault.code
