"""Python text for the types of JSON: how a JSON Schema of an answer is written as a TypedDict."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Mapping, Sequence
from keyword import iskeyword
from typing import Any

LINE = 100
INDENT = "    "
PLAIN = {
    "string": "str",
    "integer": "int",
    "number": "float",
    "boolean": "bool",
    "null": "None",
}


def class_text(name: str, schema: Mapping[str, Any], names: Mapping[str, str]) -> str:
    """Return a TypedDict for an object.

    Members whose names are no names in Python are in a class of their own, made by a call.

    name: of the class
    schema: of the object
    names: of the classes of the components that it refers to
    """
    required = set(schema.get("required", ()))
    members: dict[str, str] = {}
    for member, told in schema.get("properties", {}).items():
        written = type_text(told, names)
        members[member] = written if member in required else f"NotRequired[{written}]"
    plain = {each: told for each, told in members.items() if _is_name(each)}
    odd = {each: told for each, told in members.items() if each not in plain}
    base, before = "TypedDict", ""
    if odd:
        base = f"_{name}"
        before = _made_by_call(base, odd) + "\n\n\n"
    lines = [f"{before}class {name}({base}):", _docstring(schema)]
    if plain:
        lines.append("")
    lines += [_one_line_or_more(f"{INDENT}{each}: ", told) for each, told in plain.items()]
    return "\n".join(lines)


def _made_by_call(name: str, members: Mapping[str, str]) -> str:
    items = [f"{json.dumps(each)}: {told}" for each, told in members.items()]
    line = f'{name} = TypedDict("{name}", {{{", ".join(items)}}})'
    if len(line) <= LINE:
        return line
    lines = [f"{name} = TypedDict(", f'{INDENT}"{name}",', f"{INDENT}{{"]
    lines += [_one_line_or_more(INDENT * 2, item) + "," for item in items]
    return "\n".join([*lines, f"{INDENT}}},", ")"])


def type_text(schema: Mapping[str, Any], names: Mapping[str, str]) -> str:
    """Return the Python type of what a JSON Schema describes; Any where it says nothing."""
    if "$ref" in schema:
        return names[schema["$ref"].rpartition("/")[2]]
    for many in ("oneOf", "anyOf"):
        if many in schema:
            return _union([type_text(each, names) for each in schema[many]])
    if "enum" in schema:
        return _words(schema["enum"])
    if "const" in schema:
        return _words([schema["const"]])
    told = schema.get("type", ())
    kinds = [told] if isinstance(told, str) else list(told)
    return _union([_of_kind(kind, schema, names) for kind in kinds]) if kinds else "Any"


def folded(before: str, items: Sequence[str], brackets: str) -> str:
    """Return items between commas on one line, or on a line each in brackets where it is too long.

    brackets: the pair; on one line round ones are left out
    """
    opened, closed = brackets[0], brackets[1]
    inner = ", ".join(items)
    line = f"{before}{inner}" if opened == "(" else f"{before}{opened}{inner}{closed}"
    if len(line) <= LINE:
        return line
    return "\n".join([f"{before}{opened}", *(f"{INDENT}{each}," for each in items), closed])


def _one_line_or_more(before: str, item: str) -> str:
    """Return a type after a name; what its brackets hold is on lines of its own if need be."""
    # One letter less than the line: a comma may follow.
    if len(before) + len(item) < LINE or "[" not in item:
        return before + item
    at = item.index("[")
    indent = " " * (len(before) - len(before.lstrip()))
    deeper = indent + INDENT
    inner = item[at + 1 : item.rindex("]")]
    inside = _one_line_or_more(deeper, inner) if "[" in inner else _word_lines(deeper, inner)
    return f"{before}{item[: at + 1]}\n{inside}\n{indent}{item[item.rindex(']'):]}"


def _word_lines(indent: str, inner: str) -> str:
    if len(indent) + len(inner) < LINE:
        return indent + inner
    return "\n".join(f"{indent}{each}," for each in inner.split(", "))


def _of_kind(kind: str, schema: Mapping[str, Any], names: Mapping[str, str]) -> str:
    if kind == "array":
        places = schema.get("prefixItems") or [schema.get("items", {})]
        return f"list[{_union([type_text(each, names) for each in places])}]"
    if kind == "object":
        values = [*schema.get("properties", {}).values(), schema.get("additionalProperties", {})]
        told = [type_text(each, names) if isinstance(each, Mapping) else "Any" for each in values]
        return f"dict[str, {_union(told)}]"
    return PLAIN[kind]


def _words(words: Sequence[Any]) -> str:
    told = [json.dumps(word) for word in words if word is not None]
    return _union([f"Literal[{', '.join(told)}]", *(["None"] if None in words else [])])


def _union(kinds: Sequence[str]) -> str:
    """Return one type of several, each once, None last."""
    each = dict.fromkeys(part for kind in kinds for part in _alternatives(kind))
    if "Any" in each:
        return "Any"
    return " | ".join([*(kind for kind in each if kind != "None"), *(["None"] * ("None" in each))])


def _alternatives(kind: str) -> list[str]:
    """Return the members of a union; what is in brackets stays together."""
    return kind.split(" | ") if "[" not in kind else [kind]


def _docstring(schema: Mapping[str, Any]) -> str:
    """Return the first line of what an object says of itself, which is a sentence or more."""
    told = str(schema.get("description", "")).partition("\n")[0].replace("\\", "\\\\")
    line = f'{INDENT}"""{told}"""'
    if len(line) <= LINE and not told.endswith('"'):
        return line
    rest = textwrap.wrap(f'"""{told}', LINE, initial_indent=INDENT, subsequent_indent=INDENT)
    return "\n".join([*rest, f'{INDENT}"""'])


def _is_name(member: str) -> bool:
    return member.isidentifier() and not iskeyword(member)
