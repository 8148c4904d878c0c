"""Whether what a client was written for still holds: of answers, and of the OpenAPI document.

Additions are no loss: a client passes over members that it does not know. What is lost is told in
words, one loss an item; nothing lost is an empty list.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

# A member by the names that lead to it; ITEM for whatever stands in a list.
Way = tuple[str, ...]
Shape = Mapping[Way, set[str]]
ITEM = "[]"
NULL = "null"
REFERENCE = "#/components/schemas/"


def kind_of(value: Any) -> str:
    """Return the JSON type of a value. A whole number is a number: JSON knows no other."""
    kinds = {dict: "object", list: "array", str: "string", bool: "boolean", type(None): NULL}
    return kinds.get(type(value), "number")


def shape_of(answer: Any) -> Shape:
    """Return the types that stand at each place of an answer, those of a list's items together."""
    shape: dict[Way, set[str]] = {}
    for way, value in _places(answer, ()):
        shape.setdefault(way, set()).add(kind_of(value))
    return shape


def _places(value: Any, way: Way) -> Iterator[tuple[Way, Any]]:
    yield way, value
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from _places(inner, (*way, name))
    elif isinstance(value, list):
        for inner in value:
            yield from _places(inner, (*way, ITEM))


def thinned(value: Any) -> Any:
    """Return an answer with one item of each shape in every list: as much as can be lost of it."""
    if isinstance(value, dict):
        return {name: thinned(inner) for name, inner in value.items()}
    if not isinstance(value, list):
        return value
    kept: list[Any] = []
    known: dict[Way, set[str]] = {}
    for item in map(thinned, value):
        news = False
        for way, kinds in shape_of(item).items():
            news |= not kinds <= known.setdefault(way, set())
            known[way] |= kinds
        if news:
            kept.append(item)
    return kept


def lost_in_answer(recorded: Any, today: Any) -> list[str]:
    """Return what of a recorded answer is gone from today's, or has another JSON type there.

    Values may differ. null says nothing of a type: whether a member may be null is said by the
    document.
    """
    before, after = shape_of(recorded), shape_of(today)
    lost = []
    for way, kinds in before.items():
        now = after.get(way)
        if now is None:
            if after.get(way[:-1]) is not None:  # else what it stands in is told
                lost.append(f"{_written(way)} is gone")
            continue
        was, told = kinds - {NULL}, now - {NULL}
        if was and not told:
            lost.append(f"{_written(way)} was {_words(was)} and is only null")
        elif was and told - was:
            lost.append(f"{_written(way)} was {_words(was)} and is {_words(told)}")
    return lost


# ---------------------------------------------------------------- of the document


def promises(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return what an OpenAPI document promises to clients, and nothing of how it is worded.

    operations: by method and path: statuses, media types of the answer, query parameters
    answers, requests: by component and member: JSON types, words, whether it is always there, or
        has to be
    """
    components = document["components"]["schemas"]
    answers: set[str] = set()
    requests: set[str] = set()
    operations = {}
    for path, item in document["paths"].items():
        for method in item.keys() & {"get", "post"}:
            told = item[method]
            reached(told["responses"], components, answers)
            reached(told.get("requestBody", {}), components, requests)
            operations[f"{method} {path}"] = {
                "statuses": sorted(told["responses"]),
                "media_types": sorted(told["responses"]["200"]["content"]),
                "parameters": sorted(each["name"] for each in told.get("parameters", ())),
            }
    return {
        "operations": dict(sorted(operations.items())),
        "answers": {name: _members(components[name]) for name in sorted(answers)},
        "requests": {name: _members(components[name]) for name in sorted(requests)},
    }


def reached(schema: Any, components: Mapping[str, Any], found: set[str]) -> None:
    """Add to `found` every component that a schema leads to."""
    for each in _named(schema):
        name = each.removeprefix(REFERENCE)
        if each.startswith(REFERENCE) and name not in found:
            found.add(name)
            reached(components[name], components, found)


def _named(schema: Any) -> Iterator[str]:
    if isinstance(schema, Mapping):
        if isinstance(schema.get("$ref"), str):
            yield schema["$ref"]
        for inner in schema.values():
            yield from _named(inner)
    elif isinstance(schema, list):
        for inner in schema:
            yield from _named(inner)


def _members(component: Mapping[str, Any]) -> dict[str, Any]:
    required = component.get("required", ())
    return {
        name: {
            "types": sorted(_types(told)),
            "words": sorted(_legal(told)),
            "required": name in required,
        }
        for name, told in component.get("properties", {}).items()
    }


def _types(schema: Mapping[str, Any]) -> set[str]:
    """Return the JSON types that a member can have; what is an item of a list after ITEM."""
    ways = [*schema.get("oneOf", ()), *schema.get("anyOf", ())]
    if ways:
        return {kind for way in ways for kind in _types(way)}
    if "$ref" in schema:
        return {"object"}
    told = schema.get("type", [])
    kinds = {"number" if kind == "integer" else kind for kind in _listed(told)}
    if "items" in schema:
        kinds |= {f"{ITEM}{kind}" for kind in _types(schema["items"])}
    return kinds


def _listed(told: str | list[str]) -> list[str]:
    return [told] if isinstance(told, str) else told


def _legal(schema: Mapping[str, Any]) -> set[str]:
    """Return the words that a member, or an item of it, can be; those of open lists too."""
    words = {str(word) for name in ("enum", "x-extensible-enum") for word in schema.get(name, ())}
    inner = [*schema.get("oneOf", ()), *schema.get("anyOf", ()), schema.get("items", {})]
    return words.union(*(_legal(each) for each in inner if each))


def broken_promises(recorded: Mapping[str, Any], today: Mapping[str, Any]) -> list[str]:
    """Return what was promised and is no more. Both as `promises` returns them.

    Of answers: no member goes, may be missing where it was always there, or has a type more; of
    requests: no member goes, is needed where it was not, or has a type less. Words stay legal.
    """
    lost = []
    for name, told in recorded["operations"].items():
        now = today["operations"].get(name)
        if now is None:
            lost.append(f"{name} is gone")
            continue
        for what, words in told.items():
            lost += [f"{name} has no {word} in {what}" for word in words if word not in now[what]]
    for side in ("answers", "requests"):
        for name, members in recorded[side].items():
            now = today[side].get(name)
            lost += [f"{name} is gone"] if now is None else _of_members(side, name, members, now)
    return lost


def _of_members(
    side: str, name: str, recorded: Mapping[str, Any], today: Mapping[str, Any]
) -> Iterator[str]:
    for member, was in recorded.items():
        where, now = f"{name}.{member}", today.get(member)
        if now is None:
            yield f"{where} is gone"
            continue
        types = set(was["types"]), set(now["types"])
        less, more = types if side == "requests" else types[::-1]
        if less - more:
            yield f"{where} was {_words(types[0])} and is {_words(types[1])}"
        for word in was["words"]:
            if word not in now["words"]:
                yield f"{where} is never {word}"
        if side == "answers" and was["required"] and not now["required"]:
            yield f"{where} can be missing"
        if side == "requests" and now["required"] and not was["required"]:
            yield f"{where} is needed"
    for member, now in today.items():
        if side == "requests" and member not in recorded and now["required"]:
            yield f"{name}.{member} is needed"


def _written(way: Way) -> str:
    return ".".join(way).replace(f".{ITEM}", ITEM) or "the answer"


def _words(kinds: set[str]) -> str:
    return " or ".join(sorted(kinds))
