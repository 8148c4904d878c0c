"""Reads a mapping (TOML): how a merchant's list is written, and what its columns mean here."""

from __future__ import annotations

import codecs
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from marshmallow import Schema, ValidationError, fields, validate, validates_schema

from ..fields import ExactInteger, Number, TrueFalse
from ..schema_parts import Strict
from ..toml_file import FileFaults, loaded, read_toml

TEXTS = (
    "id", "name", "grade", "finish", "kind", "size", "grain", "label", "price_unit", "currency",
    "tone", "treated", "source",
)  # fmt: skip
NUMBERS = (
    "grammage_gsm", "caliper", "bulk_cm3_per_g", "width", "height", "length_m", "diameter_mm",
    "core_mm", "price", "pack", "least_order", "from", "lead_days",
)  # fmt: skip
COLUMNS = (*TEXTS, *NUMBERS)
MM_PER = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4}
UM_PER = {"um": 1.0, "mm": 1000.0}
COUNTS = ("units", "packs")

Column = str | int


@dataclass(frozen=True, slots=True)
class Written:
    """How the list is written.

    thousands_mark: "" for none; header_row: from 1, 0 for no header
    """

    encoding: str = "utf-8"
    delimiter: str = ","
    quote: str = '"'
    decimal_mark: str = "."
    thousands_mark: str = ""
    header_row: int = 1


@dataclass(frozen=True, slots=True)
class StockMapping:
    """What a list means.

    currency: that its prices are in
    columns: our keys and the columns that they stand in, by name, or by number from 1
    defaults: text of a cell that is empty, or has no column, by our keys
    words: by our keys, what a text in the list is here
    tiers: pairs of columns: from how many on a price holds, and the price; the first may be a
        number instead of a column
    size_mm, caliper_um: millimetres and micrometres in the unit of the list
    in_packs: whether pack counts are what tiers and least orders are told in
    keep_price_breaks: whether breaks of the plant stay where the list has none for a new price
    most_move: how many times dearer or cheaper a price may become
    id_prefix: put before an id that `words` does not tell
    """

    written: Written
    currency: str
    columns: Mapping[str, Column]
    defaults: Mapping[str, str]
    words: Mapping[str, Mapping[str, str]]
    tiers: tuple[tuple[Column | float, Column], ...] = ()
    size_mm: float = 1.0
    caliper_um: float = 1.0
    in_packs: bool = False
    keep_price_breaks: bool = False
    most_move: float = 4.0
    id_prefix: str = ""
    used: frozenset[Column] = field(default_factory=frozenset)

    @property
    def tells_tiers(self) -> bool:
        """Whether the list tells price breaks, so that one without any has none."""
        return bool(self.tiers) or "from" in self.columns


class _ColumnField(fields.Field[Any]):
    """The name of a column, or its number from 1."""

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Column:
        if isinstance(value, str) and value.strip():
            return value.strip()
        if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= 1000:
            return value
        raise ValidationError("expected the name of a column, or its number from 1")


def _one_character(*, least: int = 1) -> validate.Length:
    return validate.Length(least, 1, error="expected one character")


def _encoding(name: str) -> None:
    try:
        text = codecs.lookup(name)._is_text_encoding
    except (LookupError, ValueError):
        text = False
    if not text:
        raise ValidationError(f"no encoding of texts is called {name!r}; utf-8, cp1252 are")


class _FileSchema(Strict):
    """[file]: how the list is written."""

    encoding = fields.String(load_default="utf-8", validate=_encoding)
    delimiter = fields.String(load_default=",", validate=_one_character())
    quote = fields.String(load_default='"', validate=_one_character())
    decimal_mark = fields.String(load_default=".", validate=validate.OneOf((".", ",")))
    thousands_mark = fields.String(load_default="", validate=_one_character(least=0))
    header_row = ExactInteger(load_default=1, validate=validate.Range(0, 1000))

    @validates_schema
    def _apart(self, data: dict[str, Any], **_: Any) -> None:
        if data["decimal_mark"] == data["thousands_mark"]:
            raise ValidationError("expected another than the decimal mark", "thousands_mark")
        if data["delimiter"] == data["quote"]:
            raise ValidationError("expected another than the delimiter", "quote")


class _UnitsSchema(Strict):
    """[units]: what figures of the list are in, where that is not what the plant file has."""

    size = fields.String(load_default="mm", validate=validate.OneOf(tuple(MM_PER)))
    caliper = fields.String(load_default="um", validate=validate.OneOf(tuple(UM_PER)))
    counts = fields.String(load_default="units", validate=validate.OneOf(COUNTS))


class _CheckSchema(Strict):
    """[check]: what the list must come up to."""

    currency = fields.String(required=True, validate=validate.Length(3, 3))
    most_move = Number(load_default=4.0, validate=validate.Range(1, 1e6))


class _TierSchema(Strict):
    """[[tiers]]: from so many on, a number or a column, the price of a column holds."""

    from_ = fields.Raw(required=True, data_key="from")
    price = _ColumnField(required=True)

    @validates_schema
    def _from(self, data: dict[str, Any], **_: Any) -> None:
        start = data["from_"]
        if isinstance(start, bool) or not isinstance(start, int | float | str) or not start:
            raise ValidationError("expected a column, or a number above 0", "from")


def _fields_of(made: Mapping[str, fields.Field[Any]]) -> type[Schema]:
    return Strict.from_dict(dict(made))


_Columns = _fields_of({name: _ColumnField(required=name == "id") for name in COLUMNS})
_Defaults = _fields_of(
    {name: fields.Raw() for name in COLUMNS if name not in ("id", "price", "from")}
)
_Words = _fields_of({name: fields.Dict(fields.String(), fields.String()) for name in TEXTS})


class _MappingSchema(Strict):
    """The whole file."""

    file = fields.Nested(_FileSchema, load_default=lambda: _FileSchema().load({}))
    check = fields.Nested(_CheckSchema, required=True)
    columns = fields.Nested(_Columns, required=True)
    units = fields.Nested(_UnitsSchema, load_default=lambda: _UnitsSchema().load({}))
    defaults = fields.Nested(_Defaults, load_default=dict)
    words = fields.Nested(_Words, load_default=dict)
    tiers = fields.List(
        fields.Nested(_TierSchema), load_default=list, validate=validate.Length(max=20)
    )
    keep_price_breaks = TrueFalse(load_default=False)
    id_prefix = fields.String(load_default="", validate=validate.Length(max=20))

    @validates_schema
    def _told_once(self, data: dict[str, Any], **_: Any) -> None:
        if data["tiers"] and "from" in data["columns"]:
            told = "tiers stand in columns of their own, or in rows with a column from; not both"
            raise ValidationError(told, "tiers")
        if data["file"]["header_row"] == 0:
            named = [key for key, column in data["columns"].items() if isinstance(column, str)]
            if named:
                told = f"without a header columns go by number: {', '.join(named)}"
                raise ValidationError(told, "columns")


def read_mapping(path: Path) -> StockMapping:
    """Return the mapping of a file. Raises PlantFileError with every fault, OSError."""
    data, _ = read_toml(path)
    faults = FileFaults(path.name)
    plain = loaded(_MappingSchema(), data, "", faults)
    faults.stop()
    units, columns = plain["units"], plain["columns"]
    tiers = tuple((tier["from_"], tier["price"]) for tier in plain["tiers"])
    of_tiers = [column for tier in tiers for column in tier if isinstance(column, str)]
    return StockMapping(
        written=Written(**plain["file"]),
        currency=plain["check"]["currency"],
        columns=columns,
        defaults={key: _default_text(value) for key, value in plain["defaults"].items()},
        words={key: _folded(words) for key, words in plain["words"].items()},
        tiers=tiers,
        size_mm=MM_PER[units["size"]],
        caliper_um=UM_PER[units["caliper"]],
        in_packs=units["counts"] == "packs",
        keep_price_breaks=plain["keep_price_breaks"],
        most_move=plain["check"]["most_move"],
        id_prefix=plain["id_prefix"],
        used=frozenset((*columns.values(), *of_tiers)),
    )


def _default_text(value: Any) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _folded(words: Mapping[str, str]) -> dict[str, str]:
    return {word.strip().casefold(): ours for word, ours in words.items()}
