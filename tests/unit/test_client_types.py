"""The types of answers are those of the schemas, and a type checker makes something of them."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import sidelay.client
import sidelay.client_types
from sidelay.http.client_type_text import class_text, type_text
from sidelay.http.client_types import main, written
from sidelay.http.operations import OPERATIONS

FOLDER = Path(sidelay.client_types.__file__).parent
INTEGRATOR = Path(__file__).parents[1] / "integrator"
SERVICE = Path(__file__).parents[2] / "service"


def test_the_files_are_current() -> None:
    """Mend with: python -m sidelay.http.client_types service/sidelay/client_types"""
    files = {file.name: file.read_text(encoding="utf-8") for file in FOLDER.glob("*.py")}
    assert files == written()


def test_every_line_and_every_file_is_short_enough_to_read() -> None:
    for name, text in written().items():
        lines = text.splitlines()
        assert len(lines) <= 400, name
        assert max(map(len, lines)) <= 100, name


def test_every_answer_has_a_type_and_a_client_that_returns_it_says_so() -> None:
    several = [each.answer for each in OPERATIONS if each.answer]
    listed = [each for told in several for each in (told if isinstance(told, tuple) else (told,))]
    answers = {each.__name__.removesuffix("Schema") for each in listed}
    types = set(sidelay.client_types.__all__)
    assert all(each in types or f"{each}Answer" in types for each in answers)
    source = Path(sidelay.client.__file__).read_text(encoding="utf-8")
    returned = set(re.findall(r"\) -> types\.(\w+):", source))
    assert len(returned) >= 13
    assert returned <= types


def test_what_the_program_wrote_before_and_would_no_longer_is_taken_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "gone.py").write_text((FOLDER / "trace.py").read_text())
    (tmp_path / "kept.py").write_text("# by hand\n")
    monkeypatch.setattr(sys, "argv", ["client_types", str(tmp_path)])
    main()
    assert {file.name for file in tmp_path.glob("*.py")} == {*written(), "kept.py"}


def test_the_client_loads_no_types_at_run_time_and_nothing_of_the_service() -> None:
    told = subprocess.run(
        [sys.executable, "-c", "import sidelay.client, sys; print(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": str(SERVICE)},
    )
    loaded = {name for name in told.stdout.split() if name.startswith("sidelay")}
    assert loaded == {
        "sidelay",
        "sidelay.client",
        "sidelay.client_deprecations",
        "sidelay.client_problems",
        "sidelay.client_retries",
    }


# ---------------------------------------------------------------- what a type checker sees


def checked(file: str, tmp_path: Path) -> list[str]:
    """What `mypy --strict` says of a program that has the client installed."""
    done = subprocess.run(
        [
            *(sys.executable, "-m", "mypy", "--strict", "--config-file", ""),
            *("--cache-dir", str(tmp_path), "--hide-error-context", "--no-error-summary"),
            str(INTEGRATOR / file),
        ],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env={"MYPYPATH": str(SERVICE), "PATH": ""},
    )
    return [line.partition(f"{file}:")[2] for line in done.stdout.splitlines()]


def test_a_program_that_reads_answers_is_checked(tmp_path: Path) -> None:
    told = checked("till.py", tmp_path)
    assert [re.sub(r"^\d+: ", "", line) for line in told] == [
        f'note: Revealed type is "{each}"'
        for each in (
            "str",
            "int",
            "int | None",
            "Literal['limit'] | Literal['caution']",
            "str",
            "float | None",
        )
    ]
    mistakes = [line for line in checked("mistaken.py", tmp_path) if "error" in line]
    assert len(mistakes) == 3
    assert 'has no key "prices"' in mistakes[0]
    assert "operator" in mistakes[1]
    assert "comparison-overlap" in mistakes[2]


# ---------------------------------------------------------------- how a schema is written


@pytest.mark.parametrize(
    ("schema", "text"),
    [
        ({"type": "string"}, "str"),
        ({"type": ["integer", "null"]}, "int | None"),
        ({"type": ["null", "number", "string"]}, "float | str | None"),
        ({"type": "array", "items": {"type": "boolean"}}, "list[bool]"),
        ({"type": "array", "items": {"$ref": "#/components/schemas/A"}}, "list[A1]"),
        ({"type": ["array", "null"], "items": {}}, "list[Any] | None"),
        (
            {"type": "array", "prefixItems": [{"type": "string"}, {"type": "number"}]},
            "list[str | float]",
        ),
        ({"type": "object", "additionalProperties": {"type": "string"}}, "dict[str, str]"),
        ({"type": "object", "additionalProperties": False}, "dict[str, Any]"),
        ({"type": "object"}, "dict[str, Any]"),
        (
            {
                "type": "object",
                "properties": {"net": {"type": ["string", "null"]}},
                "additionalProperties": {"type": "integer"},
            },
            "dict[str, str | int | None]",
        ),
        ({"anyOf": [{"$ref": "#/components/schemas/A"}, {"type": "null"}]}, "A1 | None"),
        ({"oneOf": [{"type": "null"}, {"type": "string", "enum": ["a"]}]}, 'Literal["a"] | None'),
        ({"type": ["string", "null"], "enum": ["a", "b", None]}, 'Literal["a", "b"] | None'),
        ({"const": "a"}, 'Literal["a"]'),
        ({"description": "anything"}, "Any"),
        ({"anyOf": [{}, {"type": "string"}]}, "Any"),
    ],
)
def test_types(schema: dict[str, Any], text: str) -> None:
    assert type_text(schema, {"A": "A1"}) == text


def test_an_object_with_odd_names_long_words_and_a_long_word_of_itself() -> None:
    words = [f"a_rather_long_word_{n}" for n in range(8)]
    schema = {
        "description": f"{'What it is, at length, ' * 6}and so on.\n\nMore of it.",
        "properties": {
            "from": {"type": "integer"},
            "violated-policies": {"type": "array", "items": {"enum": words}},
            "kind": {"enum": words},
        },
        "required": ["kind", "from"],
    }
    text = class_text("Odd", schema, {})
    assert max(map(len, text.splitlines())) <= 100
    told: dict[str, Any] = {}
    exec("from typing import Any, Literal, NotRequired, TypedDict\n" + text, told)
    assert told["Odd"].__required_keys__ == {"from", "kind"}
    assert told["Odd"].__optional_keys__ == {"violated-policies"}
    (docstring,) = {ast.get_docstring(each) for each in ast.parse(text).body[1:]}
    assert docstring
    assert docstring.endswith("and so on.")


def test_an_object_without_members_that_ends_in_a_quotation_mark() -> None:
    text = class_text("Empty", {"description": 'What is called "none"'}, {})
    (written,) = ast.parse(text).body
    assert isinstance(written, ast.ClassDef)
    assert (ast.get_docstring(written) or "").strip() == 'What is called "none"'
