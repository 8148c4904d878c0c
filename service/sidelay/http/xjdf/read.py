"""From a document of product intent to the members of a request."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from ...stock import Stock
from ...work import Process
from ..faults import Path
from .draft import Draft, Wish, put_operations
from .notes import Ignored, Node, Notes
from .points import exact, plain
from .product import Product, children_of, read_products, root_of
from .read_operations import read_operations
from .read_part import Context, read_part
from .read_when import read_resources
from .words import (
    BINDING_SIDES,
    BINDING_TYPES,
    DIE_CUT,
    DRILL,
    EDGES,
    LEFT,
    METHODS,
    NUMBERED_ID,
    PREFERENCES,
    PRINT_PROCESSES,
    PROCESSES_RANKED,
    ROUND_CORNERS,
    UNBOUND,
    VERSIONS,
)

_NO_STOCKS: Mapping[str, Stock] = MappingProxyType({})
LONGEST_NAME = 80
_OF_COPIES = (DRILL, DIE_CUT, ROUND_CORNERS)


@dataclass(frozen=True, slots=True)
class ProductRead:
    """What a document asks.

    body: members of a request: the job, and where told processes and rank_by
    origins: paths in the body, each with where the document tells it; the longest prefix holds
    warnings: what has no effect, and what was assumed, in the order of the document
    """

    body: dict[str, Any]
    origins: Mapping[Path, Path]
    warnings: tuple[Ignored, ...]


def read_product(
    document: Mapping[str, Any],
    processes: Mapping[str, Process],
    stocks: Mapping[str, Stock] = _NO_STOCKS,
) -> ProductRead:
    """Return the request that an XJDF document of product intent, in its JSON form, stands for.

    A subset is read; whatever has no effect is told. The body is yet to be checked as a request.
    processes: those that presses of the plant run, by id: PrintProcess is looked up in them
    stocks: those of the plant, by id: its own names of stocks, grades and finishes are then known
    Raises InvalidRequest with every fault of the document's own shape, its paths in the document.
    """
    notes = Notes()
    notes.open(())
    root = Node(document, (), notes)
    body = Draft((), notes)
    job = body.draft("job", ("ProductList",))
    _read_head(root)
    products = read_products(root)
    product = root_of(products, notes)
    if product is not None:
        _read_root(root, product, products, body, job, processes, stocks)
        others = [each.id for each in products if each is not product]
        read_resources(root, job, [product.id, *others])
    notes.faults.stop()
    warnings = notes.warnings(document, LEFT)
    return ProductRead(body.members, notes.origins, tuple(warnings))


def _read_head(root: Node) -> None:
    """Check the document's own members."""
    root.word("Name", ("XJDF",))
    if root.text("JobID", required=True) is not None:
        root.warn("JobID", "ignored", LEFT["JobID"])
    if not root.has("Types"):
        root.fault("Types", "required", "This member must be given.")
    types = root.texts("Types")
    clean = types or root.value.get("Types") == []
    if clean and "Product" not in [word for _, word in types]:
        detail = 'Expected "Product" among them: product intent is read, and nothing else.'
        root.fault("Types", "unknown_value", detail)
    for index, word in types:
        if word != "Product":
            detail = "Processes follow from what is wanted: those asked for are not read."
            root.notes.warn(root.at("Types", index), "ignored", detail)
    version = root.text("Version")
    if version is not None and version not in VERSIONS:
        detail = f"Not a version that is known here: read as {VERSIONS[-1]}."
        root.warn("Version", "unknown_value", detail)


def _read_root(
    root: Node,
    product: Product,
    products: Sequence[Product],
    body: Draft,
    job: Draft,
    processes: Mapping[str, Process],
    stocks: Mapping[str, Stock],
) -> None:
    children = children_of(product, products, job.notes)
    method = _read_binding(product, job)
    _read_title(root, product, job)
    _read_amounts(product.node, job)
    _read_production(product, body, processes)
    _read_proof(product, job)
    context = Context(stocks, product if children else None, method)
    places: list[tuple[Draft, Path]] = []
    wishes: list[list[Wish]] = []
    for index, each in enumerate(children or [product]):
        part = Draft((*job.at, "parts", index), job.notes)
        places.append((part, each.node.path))
        wishes.append(read_part(each, part, context))
        if children:
            _read_child(each, part)
        else:
            _read_name(root, each, part)
    of_copies = _of_copies(product, [part for part, _ in places], wishes, bound=method is not None)
    for (part, _), asked in zip(places, wishes, strict=True):
        put_operations(part, asked)
    put_operations(job, of_copies)
    job.put_each("parts", [(part.members, path) for part, path in places], product.node.path)


def _of_copies(
    product: Product, parts: list[Draft], wishes: list[list[Wish]], *, bound: bool
) -> list[Wish]:
    """Return what is done to the finished copies.

    Holes and shapes go through all that is bound; what else the root asks is done to the cover.
    """
    if product.refs:
        asked = read_operations(product, None)
    elif bound:
        asked, wishes[0] = wishes[0], []
    else:
        return []
    cover = next((i for i, part in enumerate(parts) if part.members.get("kind") == "cover"), 0)
    for wish in asked:
        if wish.operation["operation"] not in _OF_COPIES:
            wishes[cover].append(wish)
            if product.refs:
                job_part = "cover" if parts[cover].members.get("kind") == "cover" else "first part"
                detail = f"Asked of the whole product: read as done to the {job_part}."
                product.node.notes.warn(wish.source, "assumed", detail)
    return [wish for wish in asked if wish.operation["operation"] in _OF_COPIES]


def _read_binding(product: Product, job: Draft) -> str | None:
    """Put the binding; return its method, None where nothing is bound."""
    intent = product.own("BindingIntent")
    if intent is None:
        return None
    kind = intent.word("BindingType", BINDING_TYPES, required=True)
    where = intent.at("BindingType")
    side = intent.word("BindingSide", BINDING_SIDES)
    if kind is None:
        return None
    if kind in UNBOUND:
        if kind != "None":
            intent.warn("BindingType", "assumed", "Read as parts that are not bound.")
        return None
    if kind not in METHODS:
        detail = f"Not a binding that is estimated here; those that are: {', '.join(METHODS)}."
        intent.fault("BindingType", "unsupported", detail)
        return None
    binding = job.draft("binding", intent.path)
    method = _method(kind, intent)
    binding.put("method", method, where)
    if side is not None:
        binding.put("edge", EDGES[side], intent.at("BindingSide"))
        if side.casefold() != EDGES[side]:
            detail = f"Read as {EDGES[side]}: it is the same work."
            intent.warn("BindingSide", "assumed", detail)
    return method


def _method(kind: str, intent: Node) -> str:
    if kind == "CornerStitch":
        intent.warn("BindingType", "assumed", "Read as side stitching.")
    if kind == "SoftCover":
        detail = intent.child("SoftCoverBinding")
        if detail and detail.flag("BlockThreadSewing"):
            return "thread_sewn"
    return METHODS[kind]


def _read_title(root: Node, product: Product, job: Draft) -> None:
    """Put the title: the document's own name, else the root product's."""
    for node in (root, product.node):
        title = node.text("DescriptiveName") if node.has("DescriptiveName") else None
        if title is not None:
            job.put("title", title, node.at("DescriptiveName"))
            return


def _read_name(root: Node, product: Product, part: Draft) -> None:
    """Put the name of the only part: that of the product, where the document has one of its own."""
    if root.has("DescriptiveName"):
        name = product.node.text("DescriptiveName")
        if name is not None:
            part.put("name", name, product.node.at("DescriptiveName"))


def _read_child(child: Product, part: Draft) -> None:
    """Put the name of a part, that of its product or else the ID, and how many a copy has."""
    name = child.node.text("DescriptiveName")
    if name is not None:
        part.put("name", name, child.node.at("DescriptiveName"))
    elif child.id and len(child.id) <= LONGEST_NAME and not NUMBERED_ID.fullmatch(child.id):
        part.put("name", child.id, child.node.at("ID"))
    count = child.node.amount("Amount")
    if count is not None and count > 1:
        part.put("per_copy", count, child.node.at("Amount"))


def _read_amounts(node: Node, job: Draft) -> None:
    """Put the quantity, and overs where no less is taken than it, and more.

    An upper bound beside a lower one is a tolerance: it asks for no copy more.
    """
    job.expect("quantities", node.at("Amount"))
    amount = node.amount("Amount")
    least, most = node.amount("MinAmount"), node.amount("MaxAmount")
    if amount is None:
        for name, bound in (("MinAmount", least), ("MaxAmount", most)):
            if bound is not None:
                node.warn(name, "ignored", "Without an Amount it tells no quantity.")
        return
    job.put_each("quantities", [(amount, node.at("Amount"))], node.at("Amount"))
    if least is not None and least > amount:
        node.fault("MinAmount", "out_of_range", f"Expected at most the Amount, {amount:,}.")
    if most is not None and most < amount:
        node.fault("MaxAmount", "out_of_range", f"Expected at least the Amount, {amount:,}.")
    elif most is not None and most > amount and least == amount:
        share = plain(exact(most - amount) / amount, 6)
        job.put("overs_share", share, node.at("MaxAmount"))
        detail = "No less is taken, and more: read as overs, which are made and delivered."
        node.warn("MaxAmount", "assumed", detail)
    else:
        for name, bound in (("MinAmount", least), ("MaxAmount", most)):
            if bound is not None:
                node.warn(name, "ignored", "A tolerance: the Amount is what is estimated.")


def _read_production(
    product: Product, body: Draft, processes: Mapping[str, Process]
) -> None:
    intent = product.own("ProductionIntent")
    if intent is None:
        return
    preference = intent.word("PrintPreference", PREFERENCES)
    if preference is not None and preference in PROCESSES_RANKED:
        body.put("rank_by", PROCESSES_RANKED[preference], intent.at("PrintPreference"))
    elif preference is not None:
        detail = "Choices are ranked by price or by when they are ready, not by this."
        intent.warn("PrintPreference", "ignored", detail)
    found: dict[str, Path] = {}
    for where, word in intent.one_or_more("PrintProcess"):
        ids = processes_of(word, processes)
        found |= dict.fromkeys(ids, where)
        if not ids:
            detail = "No process here goes by this name: it filters none."
            intent.notes.warn(where, "unknown_value", detail)
    if found:
        body.put_each("processes", sorted(found.items()), intent.at("PrintProcess"))


def processes_of(word: str, processes: Mapping[str, Process]) -> list[str]:
    """Return the ids of the processes that a word of PrintProcess stands for."""
    tokens = (word, PRINT_PROCESSES.get(word, word))
    return sorted(id_ for id_, each in processes.items() if each.standard_token in tokens)


def _read_proof(product: Product, job: Draft) -> None:
    intent = product.own("ContentCheckIntent")
    items = intent.children("ProofItem") if intent else []
    contract = [item for item in items if item.flag("Contract")]
    if contract:
        job.put("proof", "contract", contract[0].at("Contract"))
    elif items:
        job.put("proof", "soft", items[0].path)
        if not items[0].has("Contract"):
            detail = "Not told to be a contract proof: read as one on a screen."
            items[0].notes.warn(items[0].path, "assumed", detail)
