"""How fields that apispec does not know by itself are published."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from marshmallow import fields

from ...feed_schemas import FeedField
from .answer_fields import Money, is_told_with
from .fields import NameOrObject

Published = dict[str, Any]


class ScopedConverter(OpenAPIConverter):
    """Publishes what some callers are not told as members that can be absent."""

    def fields2jsonschema(
        self, fields: dict[str, Any], *, partial: bool | Collection[str] | None = None
    ) -> Published:
        """Return the JSON Schema of the fields of a schema."""
        publish: Any = super().fields2jsonschema
        written: Published = publish(fields, partial=partial)
        scoped = {each.data_key or name for name, each in fields.items() if is_told_with(each)}
        if scoped and "required" in written:
            always = [name for name in written.pop("required") if name not in scoped]
            written |= {"required": always} if always else {}
        return written


class FieldsPlugin(MarshmallowPlugin):
    """apispec's marshmallow plug-in, taught the fields of requests, answers and presses.

    schema_name_resolver: as apispec has it; one that answers "" writes nested schemas in place
    """

    Converter = ScopedConverter

    def init_spec(self, spec: APISpec) -> None:
        """Join a spec; apispec makes the converter at this moment."""
        super().init_spec(spec)
        converter: Any = self.converter
        for publish in (_money, _pattern, _tuple_as_array, _name_or_object, _feed):
            converter.add_attribute_function(publish)

    def json_schema(self, schema: Any) -> Published:
        """Return the JSON Schema of a marshmallow schema."""
        converter: Any = self.converter
        written: Published = converter.schema2jsonschema(schema)
        return written

    def components(self) -> dict[type, str]:
        """Return the names of the components written so far, by schema class."""
        converter: Any = self.converter
        return {key[0]: name for key, name in converter.refs.items()}


def _money(_: Any, field: Any, **__: Any) -> Published:
    return {"format": "decimal"} if isinstance(field, Money) else {}


def _pattern(_: Any, __: Any, *, ret: Published) -> Published:
    """Python's own end of a string, and its anchor at the start, as other languages write them."""
    pattern = ret.get("pattern")
    if not pattern or not pattern.endswith(r"\Z"):
        return {}
    return {"pattern": f"^{pattern[:-2]}$"}


def _tuple_as_array(converter: Any, field: Any, **_: Any) -> Published:
    """A tuple is an array with a schema for each place."""
    if not isinstance(field, fields.Tuple):
        return {}
    places = [converter.field2property(place) for place in field.tuple_fields]
    size = len(places)
    return {"type": "array", "prefixItems": places, "minItems": size, "maxItems": size}


def _name_or_object(_: Any, field: Any, *, ret: Published) -> Published:
    """A field that takes a name too has two shapes; `ret` holds the reference to the object."""
    if not isinstance(field, NameOrObject):
        return {}
    return {"oneOf": [dict(field.name_schema), {"$ref": ret.pop("$ref")}]}


def _feed(converter: Any, field: Any, **_: Any) -> Published:
    """A feed is an object of one of the kinds that a process has, told by its member `kind`."""
    if not isinstance(field, FeedField):
        return {}
    shapes = []
    for number, (kind, schema) in enumerate(field.schemas.items()):
        shape = converter.schema2jsonschema(schema)
        told = {"const": kind, "description": "the kind of feed"}
        shape["properties"] = {"kind": told} | shape["properties"]
        if number:  # without `kind` it is the first
            shape["required"] = ["kind", *shape.get("required", [])]
        shapes.append(shape)
    return {"oneOf": shapes}
