"""The [[operations]] tables of a plant file: units, ranges, defaults, sources."""

from __future__ import annotations

from typing import Any, get_args

from marshmallow import ValidationError, fields, validate, validates_schema

from .describe import PRACTICE, check_windows, choice, figure, names, switch, whole
from .operations import RATES, FinishingMachine, Stage
from .schema_parts import IDENTIFIER, Strict, shown_name, told_source

MATERIALS = ("material_per_m2", "material_per_unit", "material_per_pack")
PRICES = ("price_set_up", "price_per_1000", "price_per_m2", "least_price")
TIMES = ("set_up_min", "set_up_min_per_count", "least_min")
PACKING = ("default_per", "max_pack_kg", "max_pack_mm", "pack_width_mm", "pack_length_mm")
WORDS = ("finishes", "grades", "excluded_grades", "excluded_stock_finishes", "excludes")


def _word(about: str, *, optional: bool = False) -> fields.String:
    described: dict[str, Any] = {"load_default": ""} if optional else {"required": True}
    return fields.String(validate=IDENTIFIER, metadata={"description": about}, **described)


def _none(about: str) -> fields.List[Any]:
    return names(about, default=())


def _money(unit: str, about: str, high: float = 100_000) -> Any:
    return figure(unit, 0, high, about, default=0)


def _limit(unit: str, low: float, high: float, about: str) -> Any:
    return figure(unit, low, high, about, optional=True)


def _whole(unit: str, high: int, about: str) -> Any:
    """A whole number that a plant file may leave out."""
    field = whole(unit, 1, high, about)
    field.required = False
    return field


class OperationSchema(Strict):
    """[[operations]]: one way to do one operation; the first in the file that can does it."""

    id = _word("names the machine in a job")
    name = shown_name()
    operation = _word("what a job asks for: drill, laminate, ...")
    unit = choice(
        "what goes in: sheets before they are cut apart, flat pieces, folded pieces, copies",
        get_args(Stage),
    )
    bought_out = switch("whether another shop does it", default=False)
    cost_centre = _word("where its minutes are spent; none where bought out", optional=True)
    finishes = _none("finishes to choose from: gloss, matt, ...")
    counts = fields.String(
        load_default="",
        validate=validate.Length(0, 40),
        metadata={"description": "what a job's count counts, in the singular: hole, line, ..."},
    )
    set_up_min = figure("min", 0, 600, "set-up", default=0)
    set_up_min_per_count = figure("min", 0, 120, "set-up for each count", default=0)
    units_per_hour = _limit("{unit}/h", 1, 1e6, "net rate of one pass, in units")
    m_per_min = _limit("m/min", 0.1, 1000, "net speed of one pass, in length of units")
    gap_share = figure(
        "1", 0, 2, "space behind each unit, as a share of its length; with m_per_min", default=0
    )
    lifts_per_hour = _limit("{lift}/h", 1, 3600, "net rate of one stroke, in lifts")
    lift_mm = figure("mm", 0, 500, "height of a lift; with lifts_per_hour", default=0)
    packs_per_hour = _limit("{pack}/h", 0.1, 20_000, "net rate, in packs")
    sides_per_pass = whole(
        "{side}", 1, 2, "sides done in one pass", default=2, source="sides make no difference"
    )
    counts_per_pass = _whole("{count}", 1000, "counts done in one pass; all where left out")
    set_up_waste = whole("{unit}", 0, 10_000, "units spoiled at set-up, each pass", default=0)
    running_waste = figure("1", 0, 0.25, "share of units spoiled, each pass", default=0)
    crew = figure("{person}", 0.1, 20, "people at it", default=1, source=PRACTICE)
    least_min = figure("min", 0, 600, "least minutes charged for running", default=0)
    tool_price = _money("{currency}", "a tool of any size")
    tool_price_per_cm2 = _money("{currency}/cm2", "die or block, by the area covered", 1000)
    tool_price_per_m = _money("{currency}/m", "cutting die, by the outline of the pieces", 10_000)
    least_tool_price = _money("{currency}", "least price of a die that is priced by size")
    material_per_m2 = _money("{currency}/m2", "film, varnish or foil, by the area covered", 1000)
    material_per_unit = _money("{currency}/{unit}", "material on each unit", 1000)
    material_per_pack = _money("{currency}/{pack}", "material of each pack", 10_000)
    default_per = _whole("{unit}/{pack}", 10_000_000, "units in a pack where a job says none")
    max_pack_kg = _limit("kg", 0.01, 5000, "heaviest pack")
    max_pack_mm = _limit("mm", 1, 5000, "highest pack")
    pack_width_mm = _limit("mm", 1, 5000, "inside, where stacks stand side by side")
    pack_length_mm = _limit("mm", 1, 5000, "inside, the other way")
    price_set_up = _money("{currency}", "bought out: a job, each side that takes a pass")
    price_per_1000 = _money("{currency}", "bought out: 1,000 units, each pass", 1e6)
    price_per_m2 = _money("{currency}/m2", "bought out: the area covered", 1000)
    least_price = _money("{currency}", "bought out: the least for a job, with set-up")
    lead_days = figure("d", 0, 120, "working days until work or tool is there", default=0)
    min_width_mm = figure("mm", 0, 5000, "narrowest that goes in", default=0)
    max_width_mm = _limit("mm", 1, 5000, "widest that goes in")
    min_length_mm = figure("mm", 0, 5000, "shortest that goes in", default=0)
    max_length_mm = _limit("mm", 1, 5000, "longest that goes in")
    min_grammage_gsm = figure("g/m2", 0, 2000, "lightest stock", default=0)
    max_grammage_gsm = _limit("g/m2", 10, 5000, "heaviest stock")
    min_caliper_um = figure("um", 0, 100_000, "thinnest that goes in, all leaves", default=0)
    max_caliper_um = _limit("um", 5, 1e6, "thickest that goes in, all leaves")
    max_count = _whole("{count}", 1000, "most counts on what goes in")
    grades = _none("stock grades it takes; any where left out")
    excluded_grades = _none("stock grades it does not take")
    excluded_stock_finishes = _none("surfaces of stock it does not work on")
    flat_only = switch("whether it takes flat work only", default=False)
    frees_pieces = switch("whether it frees the pieces from the sheet", default=False)
    folds = switch("whether it folds the pieces, so that no folder has to", default=False)
    scores = switch("whether it clears the need to score before folding", default=False)
    one_finish = switch("whether a part can have but one finish of it", default=True)
    excludes = _none("operations that cannot be on the same part")
    source = told_source()

    @validates_schema
    def _windows(self, data: dict[str, Any], **_: Any) -> None:
        check_windows(data)

    @validates_schema
    def _who_does_it(self, data: dict[str, Any], **_: Any) -> None:
        given = [name for name in RATES if name in data]
        if not data["bought_out"]:
            if len(given) != 1:
                raise ValidationError(f"expected exactly one of {', '.join(RATES)}", "operation")
            if not data["cost_centre"]:
                raise ValidationError("expected the cost centre of the machine", "cost_centre")
            _refuse(data, PRICES, "goes with bought_out = true only")
            return
        _refuse(data, (*RATES, *TIMES, *MATERIALS, "cost_centre"), "is not for work bought out")
        if not any(data[name] for name in PRICES):
            raise ValidationError(f"expected a price: {', '.join(PRICES)}", "bought_out")

    @validates_schema
    def _what_goes_with_a_rate(self, data: dict[str, Any], **_: Any) -> None:
        lifts, packs = "lifts_per_hour" in data, "packs_per_hour" in data
        if lifts != (data["lift_mm"] > 0):
            raise ValidationError("lift_mm and lifts_per_hour go together", "lift_mm")
        if "m_per_min" not in data:
            _refuse(data, ("gap_share",), "goes with m_per_min only")
        if not packs:
            _refuse(data, (*PACKING, "material_per_pack"), "goes with packs_per_hour only")
        if lifts or packs:  # a begun lot would be charged whole
            plain = ("material_per_m2", "material_per_unit")
            _refuse(data, plain, "goes with units_per_hour or m_per_min only")
        if packs and not any(name in data for name in PACKING[:3]):
            raise ValidationError(f"expected one of {', '.join(PACKING[:3])}", "default_per")
        if ("pack_width_mm" in data) != ("pack_length_mm" in data):
            raise ValidationError("pack_width_mm and pack_length_mm go together", "pack_width_mm")
        if "pack_width_mm" in data and "max_pack_mm" not in data:
            raise ValidationError("expected the height of the stacks in it", "max_pack_mm")

    @validates_schema
    def _what_counts(self, data: dict[str, Any], **_: Any) -> None:
        if not data["counts"]:
            counting = ("set_up_min_per_count", "counts_per_pass", "max_count")
            _refuse(data, counting, "expected counts to say what is counted")
        if not (data["tool_price_per_cm2"] or data["tool_price_per_m"]):
            _refuse(data, ("least_tool_price",), "goes with a tool priced by size only")


def _refuse(data: dict[str, Any], members: tuple[str, ...], why: str) -> None:
    """Raise ValidationError for members that say something where nothing is to be said."""
    wrong = {name: [why] for name in members if data.get(name)}
    if wrong:
        raise ValidationError(dict(wrong))


def finishing_machine(table: dict[str, Any]) -> FinishingMachine:
    """Return the machine of a loaded [[operations]] table."""
    return FinishingMachine(**table | {name: tuple(table[name]) for name in WORDS})
