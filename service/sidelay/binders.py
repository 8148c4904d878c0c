"""What binds a book: the binders of a plant, what each takes, and the steps that it makes of it.

A page is measured across (from the spine to the face) and along (the spine): of a book bound at
the top, across is its height.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from .bookwork import (
    case_sizes,
    creep_mm,
    folded_sheets_of,
    leaves_of,
    soft_cover_mm,
    spine_mm,
    stitched_cover_mm,
)
from .job import LEAF_METHODS, Binding, BindingEdge, BindingMethod, Part
from .machines import Step
from .work import Finding

SCORED = ("crease", "score")  # operations that make a line to fold along
COVER_PAGES = 4


@dataclass(frozen=True, slots=True)
class Book:
    """What is to be bound: one copy, its cover told apart from its pages.

    page_width_mm, page_height_mm: one page, trimmed
    pages, leaves: without the cover
    block_mm: thickness without the cover; spine_mm: with it, nothing allowed for score or glue
    creep_mm: push-out of the innermost sheet where sheets are nested, before a binder's factor
    mass_kg: paper of all that is bound, cover included
    cover_gsm: None without a cover; cover_scored: whether it is scored or creased before folding
    """

    method: BindingMethod
    edge: BindingEdge
    page_width_mm: float
    page_height_mm: float
    pages: int
    leaves: int
    block_mm: float
    spine_mm: float
    creep_mm: float = 0.0
    mass_kg: float = 0.0
    cover_gsm: float | None = None
    cover_scored: bool = False
    has_cover: bool = False

    @property
    def across_mm(self) -> float:
        """A page from the spine to the face [mm]."""
        return self.page_width_mm if self.edge == "left" else self.page_height_mm

    @property
    def along_mm(self) -> float:
        """A page along the spine [mm]: how long the spine is."""
        return self.page_height_mm if self.edge == "left" else self.page_width_mm

    @property
    def counted_pages(self) -> int:
        """Pages that the page limits of a binder count: staples in a fold hold the cover too.

        Source: 8 pages self-cover or 4 and a cover is the least, Puget Bindery.
        """
        nested = self.method == "saddle_stitch" and self.has_cover
        return self.pages + (COVER_PAGES if nested else 0)


@dataclass(frozen=True, slots=True)
class Binder:
    """A machine of the plant that binds by one method, or a trade binder that does it for money.

    cost_centre: "" where the work is bought out; then the prices below count and no time does
    set_up_min: once; set_up_min_per_section: for each section's station on top
    stations: sections that one pass gathers
    copies_per_hour: of one pass, cover feeding and trimming in line included; None bought out
    sections_per_hour: through the sewer; None where nothing is sewn
    leaves_per_hour: collating of loose leaves; None where leaves come collated
    set_up_waste_copies, running_waste: spoiled copies, fixed and as a share
    crew: people at it, whom the rate of the cost centre pays
    min_pages .. max_pages: without the cover; in saddle stitch with it, as Book.counted_pages
    min_block_mm .. max_block_mm: thickness without the cover
    min_width_mm .. max_width_mm: page from the spine to the face; heights: along the spine
    grind_off_mm: milled off the spine, which the printed page must allow for
    creep_factor: what the push-out of nested sheets is multiplied by; creep_caution_mm: above it
        the creep is told
    score_cover_above_gsm: a heavier cover must be scored before it is folded; None where covers
        are not folded, or are scored in line whatever they weigh
    needs_cover: whether it binds nothing without a cover
    folds_sheets: whether it folds the collated flat sheets itself
    material_per_copy, board_price, material_per_m: money for each copy: glue or loops, its backing
        or boards, and what goes by the length of the spine (wire, coil, thread)
    price_set_up, price_per_1000, price_per_1000_sections, least_price: money for bought-out work:
        once, for 1,000 copies, for 1,000 sections gathered or sewn, and at least
    lead_days: working days until bought-out work is back
    spine_allowance_mm: on the spine of a soft cover, for score and glue
    square_mm, joint_mm, turn_in_mm, board_mm: of a case (bookwork.case_sizes)
    """

    id: str
    name: str
    method: BindingMethod
    cost_centre: str = ""
    set_up_min: float = 0.0
    set_up_min_per_section: float = 0.0
    stations: int = 1
    copies_per_hour: float | None = None
    sections_per_hour: float | None = None
    leaves_per_hour: float | None = None
    set_up_waste_copies: int = 0
    running_waste: float = 0.0
    crew: float = 1.0
    min_pages: int = 2
    max_pages: int = 10_000
    min_block_mm: float = 0.0
    max_block_mm: float = 1000.0
    min_width_mm: float = 0.0
    max_width_mm: float = 10_000.0
    min_height_mm: float = 0.0
    max_height_mm: float = 10_000.0
    grind_off_mm: float = 0.0
    creep_factor: float = 1.0
    creep_caution_mm: float = 1.5
    score_cover_above_gsm: float | None = None
    needs_cover: bool = False
    folds_sheets: bool = False
    material_per_copy: float = 0.0
    material_per_m: float = 0.0
    board_price: float = 0.0
    price_set_up: float = 0.0
    price_per_1000: float = 0.0
    price_per_1000_sections: float = 0.0
    least_price: float = 0.0
    lead_days: float = 0.0
    spine_allowance_mm: float = 0.0
    square_mm: float = 3.0
    joint_mm: float = 7.0
    turn_in_mm: float = 15.0
    board_mm: float = 2.0
    source: str = "plant file"

    @property
    def bought_out(self) -> bool:
        """Whether a trade binder does it."""
        return not self.cost_centre

    @property
    def sews(self) -> bool:
        """Whether sections are sewn, each at its own time or price."""
        return self.method in ("thread_sewn", "case")

    @property
    def collates(self) -> bool:
        """Whether it puts loose leaves in order itself."""
        return self.leaves_per_hour is not None

    def creep_mm(self, book: Book) -> float:
        """How much narrower than the outermost page the innermost one ends up [mm]."""
        return book.creep_mm * self.creep_factor

    def cover_flat_mm(self, book: Book, flap_mm: float = 0.0) -> tuple[float, float]:
        """Trimmed flat size of the cover of a book, width then height [mm].

        Of a case it is what is printed and turned in over the boards. Where covers are single
        leaves, it is the size of one. flap_mm: width of each flap of a soft cover.
        """
        across, along = book.across_mm, book.along_mm
        if self.method == "saddle_stitch":
            across, along = stitched_cover_mm(across, along)
        elif self.method == "case":
            case = case_sizes(
                across,
                along,
                book.block_mm,
                square_mm=self.square_mm,
                joint_mm=self.joint_mm,
                turn_in_mm=self.turn_in_mm,
                board_mm=self.board_mm,
            )
            across, along = case.material_across, case.material_along
        elif self.method in ("side_stitch", "perfect_bind", "thread_sewn"):
            spine = book.spine_mm + self.spine_allowance_mm
            across, along = soft_cover_mm(across, along, spine, flap_mm=flap_mm)
        return (across, along) if book.edge == "left" else (along, across)

    def bind_step(self, book: Book) -> Step:
        """Binding of one copy: its minutes and materials, or its price bought out.

        Gathering, sewing and collating are steps of their own, for each part.
        """
        material = self.material_per_copy + self.board_price
        material += self.material_per_m * book.along_mm / 1000
        price = self.price_per_1000 / 1000
        if self.bought_out:
            because = (
                f"bought out: set-up {self.price_set_up:.2f}, {self.price_per_1000:.2f} for 1,000"
            )
        else:
            because = f"{self.copies_per_hour:,.0f} copies an hour, {book.pages} pages"
        if material:
            because += f", material {material:.3f} a copy"
        return Step(
            self.method,
            "copy",
            self.cost_centre,
            self.set_up_min,
            self._pass_min,
            1,
            self.set_up_waste_copies,
            self.running_waste,
            because,
            self.source,
            set_up_price=self.price_set_up,
            price=material + price,
            kind="outwork" if self.bought_out else "material",
            machine=self.id,
            crew=self.crew,
            least_price=self.least_price,
            lead_days=self.lead_days,
        )

    def gather_step(
        self, sections: int, book: Book, *, per_copy: int = 1, before: int = 0
    ) -> Step | None:
        """Gathering, and sewing, of one part that is made in so many sections; None if it is free.

        sections: in one piece of the part; per_copy: pieces of it in one copy
        before: sections of the copy that are on the stations already, so that sections of several
            sizes add up to what they would take as one
        A first pass is in the binding itself; sections beyond the stations take further passes.
        Source: money for each section and for each copy added up, as the published price book of
        Chugai Printing does: (section rate x sections + cover) x copies.
        """
        number = sections * per_copy
        further = self._passes(before + number) - self._passes(before)
        minutes = further * self._pass_min
        because = f"{number} section(s)"
        if not self.bought_out:
            because += f" on {self.stations} station(s)"
        if minutes:
            because += f", {further} more pass(es)"
        if self.sections_per_hour:
            minutes += number * 60 / self.sections_per_hour
            because += f", sewn at {self.sections_per_hour:,.0f} sections an hour"
        price = number * self.price_per_1000_sections / 1000
        if price:
            because += f", bought out at {self.price_per_1000_sections:.2f} for 1,000 sections"
        return self._step_of_a_part(
            "gather", per_copy, number * self.set_up_min_per_section, minutes, price, because, book
        )

    def collate_step(self, leaves: int, book: Book, *, per_copy: int = 1) -> Step | None:
        """Collating of the loose leaves of one part; None where leaves come collated.

        leaves: in one piece of the part; per_copy: pieces of it in one copy. For leaves that
        differ: a pad of one leaf again and again is counted, not collated.
        """
        if self.leaves_per_hour is None:
            return None
        minutes = leaves * per_copy * 60 / self.leaves_per_hour
        because = f"{leaves * per_copy} leaves a copy at {self.leaves_per_hour:,.0f} leaves an hour"
        return self._step_of_a_part("collate", per_copy, 0.0, minutes, 0.0, because, book)

    @property
    def _pass_min(self) -> float:
        """Minutes of one pass for one copy."""
        return 60 / self.copies_per_hour if self.copies_per_hour else 0.0

    def _passes(self, sections: int) -> int:
        return max(1, ceil(sections / self.stations))

    def _step_of_a_part(
        self,
        name: str,
        per_copy: int,
        set_up_min: float,
        minutes: float,
        price: float,
        because: str,
        book: Book,
    ) -> Step | None:
        """A step on the pieces of a part; minutes and price are those of one copy's pieces."""
        if not (set_up_min or minutes or price):
            return None
        return Step(
            name,
            "piece",
            self.cost_centre,
            set_up_min,
            minutes,
            per_copy,
            0,
            0.0,
            f"{because}, for {book.method.replace('_', ' ')}",
            self.source,
            price=price,
            kind="outwork" if self.bought_out else "material",
            machine=self.id,
            crew=self.crew,
        )


def book_of(parts: Sequence[Part], binding: Binding) -> Book:
    """Return the book that the parts of a job make; what is laid in loose is no part of it.

    Sections and leaves are bound, outermost first where they are nested; a cover goes around them.
    Raises ValueError when there is nothing to bind.
    """
    inner = [part for part in parts if part.kind in ("section", "leaf")]
    cover = next((part for part in parts if part.kind == "cover"), None)
    if not inner:
        raise ValueError("there is nothing to bind: the job has neither sections nor leaves")
    cover_um = cover.stock.caliper_um if cover else 0.0
    block = sum(_pages(part) / 2 * part.stock.caliper_um for part in inner) / 1000
    bound = [*inner, *([cover] if cover else [])]
    pages = sum(map(_pages, inner))
    return Book(
        method=binding.method,
        edge=binding.edge,
        page_width_mm=inner[0].width_mm,
        page_height_mm=inner[0].height_mm,
        pages=pages,
        leaves=leaves_of(pages),
        block_mm=block,
        spine_mm=spine_mm(block, cover_caliper_um=cover_um),
        creep_mm=_creep_mm(inner, cover_um) if binding.method == "saddle_stitch" else 0.0,
        mass_kg=sum(part.per_copy * part.mass_kg for part in bound),
        cover_gsm=cover.stock.grammage_gsm if cover else None,
        cover_scored=any(each.name in SCORED for each in cover.operations) if cover else False,
        has_cover=cover is not None,
    )


def folds_sections(method: BindingMethod) -> bool:
    """Whether the method binds folded sheets, so that its pages come in fours."""
    return method not in LEAF_METHODS


def _pages(part: Part) -> int:
    """Pages of a part in one copy; a leaf has two, and a folded one two for each panel."""
    return part.per_copy * part.pages


def _creep_mm(inner: list[Part], cover_um: float) -> float:
    *outer, innermost = inner
    around = cover_um + sum(
        folded_sheets_of(_pages(part)) * part.stock.caliper_um for part in outer
    )
    sheets = folded_sheets_of(_pages(innermost))
    return creep_mm(innermost.stock.caliper_um, sheets, around_um=around)


@dataclass(frozen=True, slots=True)
class Bound:
    """A book, the binder that binds it, and what stands against it or is to be known.

    leaves_differ: whether a copy is put together from loose leaves of more than one part
    """

    binder: Binder
    book: Book
    findings: tuple[Finding, ...] = ()
    leaves_differ: bool = False

    def collates(self, part: Part) -> bool:
        """Whether loose leaves of a part have to be put in order: pages, or one ply of a set."""
        return part.kind == "section" or (part.kind == "leaf" and self.leaves_differ)
