"""Documents against the JSON Schema of the standards body, where a tester has a copy of it.

SIDELAY_TEST_XJDF_SCHEMA names the file; none is part of this project. What passes was read from it
or from the XSD; that a document passes says nothing of any certificate.
"""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import shop
from sidelay.http.xjdf import read_product, write_product
from xjdf_documents import DOCUMENTS

VARIABLE = "SIDELAY_TEST_XJDF_SCHEMA"
EXAMPLES = [
    path for path in sorted(shop.EXAMPLES.glob("*.json")) if "job" in json.loads(path.read_text())
]


@pytest.fixture(scope="module")
def schema() -> Any:
    """A checker of documents."""
    named = os.environ.get(VARIABLE)
    if not named:
        pytest.skip(f"no document was held against the schema: {VARIABLE} names no copy of it")
    described = json.loads(Path(named).read_text())
    return jsonschema.validators.validator_for(described)(described)


def faults(schema: Any, document: Any) -> list[str]:
    """What the schema finds wrong."""
    return [f"{list(each.absolute_path)}: {each.message}" for each in schema.iter_errors(document)]


@pytest.mark.parametrize("name", DOCUMENTS)
def test_the_documents_tested_with_are_valid(schema: Any, name: str) -> None:
    assert faults(schema, DOCUMENTS[name]) == []


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_documents_written_are_valid(schema: Any, path: Path) -> None:
    processes, stocks = shop.processes().about, shop.demo().stocks
    document, _ = write_product(json.loads(path.read_text()), processes, stocks)
    assert faults(schema, document) == []
    read = read_product(document, processes, stocks)
    assert faults(schema, write_product(read.body, processes, stocks)[0]) == []
