"""Writes the types of answers that `sidelay.client` returns, from the schemas of the answers.

python -m sidelay.http.client_types service/sidelay/client_types

A TypedDict for each object of the OpenAPI document that an operation answers with, in a module for
each module of schemas, so that none is long. Whatever else is in the folder and was written by this
program is taken away.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from marshmallow import Schema

from ..processes import Processes
from . import schemas
from .client_type_text import class_text, folded
from .openapi import document
from .operations import OPERATIONS
from .schemas.catalogue import ProblemSchema

MARK = "Written by `python -m sidelay.http.client_types`; not to be edited."
REFERENCE = "#/components/schemas/"


def written() -> dict[str, str]:
    """Return the text of each module, by the name of its file."""
    components = document(Processes.discover())["components"]["schemas"]
    classes = _classes()
    wanted = list(dict.fromkeys(_reached(_roots(), components)))
    names = {each: _type_name(each) for each in wanted}
    modules: dict[str, list[str]] = {}
    for component in wanted:
        modules.setdefault(_module(classes[component]), []).append(component)
    homes = {component: home for home, inside in modules.items() for component in inside}
    texts = {
        f"{home}.py": _module_text(home, inside, components, names, homes)
        for home, inside in modules.items()
    }
    return {"__init__.py": _package_text(modules, names), **dict(sorted(texts.items()))}


def _roots() -> Iterator[str]:
    yield from _answers()
    yield _component(ProblemSchema)


def _answers() -> Iterator[str]:
    """Yield the components that operations answer with, of some one of several."""
    for each in OPERATIONS:
        several = each.answer if isinstance(each.answer, tuple) else (each.answer,)
        yield from (_component(answer) for answer in several if answer)


def _component(schema: type) -> str:
    """Return the name that apispec gives a schema."""
    return schema.__name__.removesuffix("Schema")


def _type_name(component: str) -> str:
    """Return the name of a type: of what is a whole answer and nothing else it ends in Answer."""
    answers = set(_answers())
    requests = {_component(each.request) for each in OPERATIONS if each.request}
    return f"{component}Answer" if component in answers - requests else component


def _classes() -> dict[str, type[Schema]]:
    """Return every schema class of bodies by the name of its component.

    Those of plant files may be called the same, and are none of these.
    """
    found: dict[str, type[Schema]] = {}
    todo: list[type[Schema]] = [Schema]
    while todo:
        for each in todo.pop().__subclasses__():
            todo.append(each)
            if each.__module__.startswith(f"{schemas.__name__}."):
                found[_component(each)] = each
    return found


def _module(schema: type[Schema]) -> str:
    return schema.__module__.rpartition(".")[2].removeprefix("answer_")


def _reached(roots: Iterator[str], components: Mapping[str, Any]) -> Iterator[str]:
    """Yield the components that some lead to, each after those that it is made of."""
    for root in roots:
        yield from _reached(_named_in(components[root]), components)
        yield root


def _named_in(schema: Any) -> Iterator[str]:
    """Yield the components that a JSON Schema names."""
    if isinstance(schema, Mapping):
        reference = schema.get("$ref")
        if isinstance(reference, str):
            yield reference.removeprefix(REFERENCE)
        for each in schema.values():
            yield from _named_in(each)
    elif isinstance(schema, Sequence) and not isinstance(schema, str):
        for each in schema:
            yield from _named_in(each)


def _module_text(
    home: str,
    inside: Sequence[str],
    components: Mapping[str, Any],
    names: Mapping[str, str],
    homes: Mapping[str, str],
) -> str:
    bodies = [class_text(names[each], components[each], names) for each in inside]
    body = "\n\n\n".join(bodies)
    used = dict.fromkeys(name for each in inside for name in _named_in(components[each]))
    of_module: dict[str, list[str]] = {}
    for name in used:
        if homes[name] != home:
            of_module.setdefault(homes[name], []).append(names[name])
    typing = [word for word in ("Any", "Literal", "NotRequired", "TypedDict") if word in body]
    imports = [_import(f".{module}", found) for module, found in sorted(of_module.items())]
    head = [f'"""Types of answers: {home}.\n\n{MARK}\n"""', "from __future__ import annotations"]
    head.append(_import("typing", typing))
    gap = "\n\n\n" if body.startswith("class") else "\n\n"
    return "\n\n".join([*head, *(["\n".join(imports)] if imports else [])]) + f"{gap}{body}\n"


def _import(module: str, found: Sequence[str]) -> str:
    return folded(f"from {module} import ", sorted(found, key=str.lower), brackets="()")


def _package_text(modules: Mapping[str, Sequence[str]], names: Mapping[str, str]) -> str:
    imports = [
        _import(f".{home}", [names[each] for each in inside])
        for home, inside in sorted(modules.items())
    ]
    words = [json.dumps(each) for each in sorted(names.values())]
    about = (
        '"""Types of the answers of the service, for whoever reads them from `sidelay.client`.\n\n'
        "Members that can be absent are NotRequired; the OpenAPI document says what each means.\n"
        f'{MARK}\n"""'
    )
    return "\n\n".join([about, "\n".join(imports), folded("__all__ = ", words, "[]")]) + "\n"


def main() -> None:
    """Write the modules into the folder that the first argument names."""
    folder = Path(sys.argv[1])
    texts = written()
    for file in folder.glob("*.py"):
        if file.name not in texts and MARK in file.read_text(encoding="utf-8"):
            file.unlink()
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
