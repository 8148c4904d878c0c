"""Reads a catalogue file (TOML) of a plant. Every fault is told with file, line, table and key.

Beside a plant file NAME.toml its catalogue is NAME.products.toml.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from .catalogue_schema import CatalogueSchema
from .choosing import Contradiction, settle, tries
from .job_template import steps_of
from .plant import Plant
from .products import (
    Catalogue,
    ChoiceOption,
    Condition,
    Labels,
    NumberOption,
    Option,
    Product,
    Value,
)
from .stock import Stock
from .toml_file import FileFaults, loaded, read_located
from .toml_fixes import near

SUFFIX = ".products.toml"
# Parameters of a request that are not options of a product.
RESERVED = (
    "access_token",
    "api_key",
    "apikey",
    "as_of",
    "authorization",
    "key",
    "language",
    "quantity",
    "token",
)
# Whoever asks tells how many; and no catalogue knows of a day.
NOT_IN_A_JOB = {"quantities", "due_at"}
NOT_IN_A_JOB_BECAUSE = "a catalogue tells neither quantities nor a due date"
# Full choices that may have to be tried to settle one; more would hold up whoever asks.
MOST_TRIES = 20_000


def catalogue_path(plant_file: Path) -> Path:
    """Return where the catalogue of a plant file is, if it has one."""
    return plant_file.with_name(plant_file.name.removesuffix(".toml") + SUFFIX)


def read_catalogue(path: Path, plant: Plant) -> Catalogue:
    """Return the catalogue in a file. Raises PlantFileError with every fault, OSError.

    Whether each choice makes a job that the service reads is not looked at here.
    """
    plain, revision, faults = read_tables(path)
    head = plain["catalogue"]
    products = tuple(_product(table, plant) for table in plain["products"])
    _check(products, head["languages"], plant, faults)
    faults.stop()
    return Catalogue(
        revision=revision,
        languages=tuple(head["languages"]),
        public=head["cache"] == "public",
        max_age_s=head["max_age_s"],
        clock_step_min=head["clock_step_min"],
        quote_valid_h=head["quote_valid_h"],
        products=products,
    )


def read_tables(path: Path) -> tuple[dict[str, Any], str, FileFaults]:
    """Return the tables of a catalogue, its revision, and what collects further faults.

    Raises PlantFileError with every fault that tells without the plant, OSError.
    """
    data, revision, faults = read_located(path)
    plain = loaded(CatalogueSchema(), data, "", faults)
    faults.stop()
    return plain, revision, faults


def _product(table: Mapping[str, Any], plant: Plant) -> Product:
    return Product(
        id=table["id"],
        plant=plant.id,
        name=table["name"],
        about=table["about"],
        options=tuple(_with_stock_facts(option, plant) for option in table["options"]),
        rules=tuple(table["rules"]),
        ladder=tuple(table["ladder"]),
        between=table["between"],
        job=table["job"],
        processes=tuple(table["processes"]),
    )


def _with_stock_facts(option: Option, plant: Plant) -> Option:
    """Give values that choose a stock of the plant its figures; those told in the file stand."""
    if isinstance(option, NumberOption):
        return option
    values = []
    for value in option.values:
        stock = _stock_of(value, plant)
        facts = {}
        if stock is not None:
            facts = {"grammage_gsm": stock.grammage_gsm, "caliper_um": stock.caliper_um}
        values.append(replace(value, facts=facts | dict(value.facts)))
    return replace(option, values=tuple(values))


def _stock_of(value: Value, plant: Plant) -> Stock | None:
    for pointer, wish in value.put.items():
        if pointer.endswith("/stock") and isinstance(wish, Mapping):
            return plant.stocks.get(str(wish.get("id")))
        if pointer.endswith("/stock/id"):
            return plant.stocks.get(str(wish))
    return None


def _check(
    products: Sequence[Product], languages: Collection[str], plant: Plant, faults: FileFaults
) -> None:
    processes = {installed.process for installed in plant.presses}
    _unique([each.id for each in products], "products", faults)
    for number, product in enumerate(products):
        table = f"products[{number}] ({product.id})"
        for name in NOT_IN_A_JOB & set(product.job):
            faults.add(f"{table}.job", name, NOT_IN_A_JOB_BECAUSE, "Leave it out.")
        for name in set(product.processes) - processes:
            known = ", ".join(sorted(processes))
            told = f"no press runs {name!r}; there is {known}"
            faults.add(table, "processes", told, near(name, processes))
        for where, labels in _all_labels(product):
            for language in sorted(set(languages) - set(labels)):
                told = f'Add {language} = "...", or take it off the languages.'
                faults.add(f"{table}{where}", language, "expected a text in this language", told)
        _unique([option.id for option in product.options], f"{table}.options", faults)
        for option in product.options:
            _check_option(option, f"{table}.options ({option.id})", faults)
        if _check_rules(product, table, faults):
            _check_settled(product, table, faults)


def _unique(ids: Sequence[str], table: str, faults: FileFaults) -> None:
    for twice in sorted({name for name in ids if ids.count(name) > 1}):
        told = f"{twice!r} stands there twice; ids must differ"
        faults.add(table, "id", told, "Give one of them another id.")


def _all_labels(product: Product) -> Iterator[tuple[str, Labels]]:
    yield ".name", product.name
    yield ".about", product.about
    for option in product.options:
        yield f".options ({option.id}).name", option.name
        if isinstance(option, ChoiceOption):
            for value in option.values:
                yield f".options ({option.id}).values ({value.id}).name", value.name
    for number, rule in enumerate(product.rules):
        yield f".rules[{number}].because", rule.because


def _check_option(option: Option, table: str, faults: FileFaults) -> None:
    if option.id in RESERVED:
        faults.add(table, "id", f"{option.id!r} is a parameter of its own; choose another id")
    if isinstance(option, NumberOption):
        pointers = list(option.put)
        if option.default is not None and not (
            isinstance(option.default, int) and option.takes(option.default)
        ):
            told = f"{option.least} to {option.most} in steps of {option.step}"
            faults.add(table, "default", f"expected one of the numbers {told}")
    else:
        ids = [value.id for value in option.values]
        _unique(ids, f"{table}.values", faults)
        pointers = [pointer for value in option.values for pointer in value.put]
        if option.default is not None and option.default not in ids:
            told = f"no such value; there is {', '.join(ids)}"
            faults.add(table, "default", told, near(option.default, ids))
    for pointer in pointers:
        if steps_of(pointer)[0] in NOT_IN_A_JOB:
            faults.add(table, "put", NOT_IN_A_JOB_BECAUSE, "Put it elsewhere.")


def _check_rules(product: Product, table: str, faults: FileFaults) -> bool:
    """Check what rules refer to; say whether they can be used."""
    good = True
    for number, rule in enumerate(product.rules):
        for condition in (*rule.when, *rule.needs):
            told = _fault_of(condition, product)
            if told:
                faults.add(f"{table}.rules[{number}]", condition.option, told)
                good = False
    return good


def _fault_of(condition: Condition, product: Product) -> str:
    """What is wrong with a condition; "" where nothing is."""
    if condition.option not in [option.id for option in product.options]:
        return "the product has no such option"
    option = product.option(condition.option)
    if isinstance(option, NumberOption):
        return "a number has at_least and at_most alone" * bool(condition.one_of or condition.fact)
    if condition.one_of:
        ids = [value.id for value in option.values]
        unknown = [name for name in condition.one_of if name not in ids]
        return f"no value {', '.join(unknown)}; there is {', '.join(ids)}" if unknown else ""
    if not condition.fact:
        return "expected the fact that the bound is of"
    known = sorted({name for value in option.values for name in value.facts})
    return "" if condition.fact in known else (
        f"no value has the fact {condition.fact!r}; there is {', '.join(known) or 'none'}"
    )


def _check_settled(product: Product, table: str, faults: FileFaults) -> None:
    """See that a choice can be had, and that each value of each option is in one."""
    if tries(product) > MOST_TRIES:
        told = f"they tie too many values together; at most {MOST_TRIES:,} choices"
        faults.add(table, "rules", told, "Tell less of it by rules, or make two products of it.")
        return
    for option in product.options:
        if isinstance(option, NumberOption):
            continue
        for value in option.values:
            try:
                settle(product, {option.id: value.id})
            except Contradiction:
                where = f"{table}.options ({option.id}).values ({value.id})"
                told = "the rules leave no choice that has this value"
                faults.add(where, "id", told, "Loosen a rule, or leave the value out.")
