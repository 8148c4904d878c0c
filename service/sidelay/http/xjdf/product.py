"""Products of a document and their intents: which is the root, and what each refers to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ..faults import Path
from .notes import Node, Notes
from .words import INTENTS, ONCE, REPEATED, UNSUPPORTED


@dataclass(eq=False)
class Product:
    """One product of the list, its intents by name, in the order of the document."""

    node: Node
    id: str | None
    is_root: bool | None
    intents: dict[str, list[Node]] = field(default_factory=dict)
    refs: list[tuple[Path, str]] = field(default_factory=list)

    def own(self, name: str) -> Node | None:
        """Return its intent of a name, None where it has none."""
        return next(iter(self.intents.get(name, ())), None)


def read_products(root: Node) -> list[Product]:
    """Return the products that the document lists."""
    listed = root.child("ProductList", required=True)
    if listed is None:
        return []
    nodes = listed.children("Product", required=True)
    if not nodes and listed.value.get("Product") == []:
        listed.fault("Product", "too_few", "Expected a product.")
    products = [_product(node) for node in nodes]
    _check_ids(products)
    return products


def _product(node: Node) -> Product:
    product = Product(node, node.text("ID"), node.flag("IsRoot"))
    for each in node.children("Intent"):
        _read_intent(each, product)
    binding = product.own("BindingIntent")
    if binding:
        product.refs = [
            (binding.at("ChildRefs", index), ref) for index, ref in binding.texts("ChildRefs")
        ]
    return product


def _read_intent(entry: Node, product: Product) -> None:
    name = entry.text("Name", required=True)
    held = [each for each in INTENTS if entry.has(each)]
    if name is None:
        return
    if name not in INTENTS:
        known = ", ".join((*ONCE, *REPEATED))
        detail = f"No intent of this name is read here; those that are: {known}."
        entry.notes.warn(entry.path, "ignored", detail, whole=True)
        return
    if name in UNSUPPORTED:
        detail = "Putting products together in a box or on a carrier is not estimated here."
        entry.notes.fault(entry.path, "unsupported", detail)
        return
    if held not in ([name], []):
        wrong = next(each for each in held if each != name)
        entry.fault(wrong, "conflicting_members", f"The entry is named {name}: it holds that only.")
        return
    intent = entry.child(name)
    if intent is None:
        if not held:
            entry.notes.warn(entry.path, "ignored", "The intent is empty: no wish.", whole=True)
        return
    if name in product.intents and name not in REPEATED:
        detail = f"A product has one {name}; it stands before."
        entry.notes.fault(entry.path, "conflicting_members", detail)
        return
    product.intents.setdefault(name, []).append(intent)


def _check_ids(products: Sequence[Product]) -> None:
    seen: set[str] = set()
    for product in products:
        if product.id is not None and product.id in seen:
            product.node.fault("ID", "same_id_twice", "A product before has this ID.")
        seen.add(product.id or "")


def root_of(products: Sequence[Product], notes: Notes) -> Product | None:
    """Return the root product, None where it cannot be told, which is a fault."""
    marked = [product for product in products if product.is_root]
    if len(marked) == 1:
        return marked[0]
    if not marked and len(products) == 1:
        return products[0]
    candidates = marked or _not_referred_to(products)
    for product in candidates[1:]:
        where = product.node.at("IsRoot") if product.is_root else product.node.path
        detail = "One root product is estimated at a time: send each in a document of its own."
        notes.fault(where, "several_roots", detail)
    if len(candidates) == 1:
        detail = "No product is marked as the root: this one, which none refers to, is taken."
        notes.warn(candidates[0].node.path, "assumed", detail)
        return candidates[0]
    if not candidates and products:
        detail = "Every product is a child of another: mark the root."
        notes.fault(("ProductList", "Product"), "circular_reference", detail)
    return None


def _not_referred_to(products: Sequence[Product]) -> list[Product]:
    referred = {ref for product in products for _, ref in product.refs}
    free = [product for product in products if product.id not in referred]
    return [product for product in free if product.is_root is None] or free


def children_of(root: Product, products: Sequence[Product], notes: Notes) -> list[Product]:
    """Return the products that the root binds, in its order; what leads nowhere is a fault."""
    by_id: Mapping[str, Product] = {each.id: each for each in reversed(products) if each.id}
    found: list[Product] = []
    for where, ref in root.refs:
        child = by_id.get(ref)
        if child is None:
            notes.fault(where, "unknown_product", "No product of the list has this ID.")
        elif child is root:
            notes.fault(where, "circular_reference", "The product refers to itself.")
        elif child in found:
            notes.fault(where, "same_id_twice", "It stands before: give the child its Amount.")
        else:
            found.append(child)
            _check_leaf(child, by_id, notes)
    for product in products:
        if product is not root and product not in found:
            detail = "The root does not refer to this product: it is left out."
            notes.warn(product.node.path, "ignored", detail, whole=True)
    return found


def _check_leaf(child: Product, by_id: Mapping[str, Product], notes: Notes) -> None:
    """A child has no children: one binding holds a copy together."""
    for where, ref in child.refs:
        if ref not in by_id:
            notes.fault(where, "unknown_product", "No product of the list has this ID.")
        elif _leads_back(ref, child, by_id):
            detail = "The reference leads back to the product that it stands in."
            notes.fault(where, "circular_reference", detail)
        else:
            detail = "A part that is bound of parts itself is not estimated here."
            notes.fault(where, "unsupported", detail)


def _leads_back(ref: str, start: Product, by_id: Mapping[str, Product]) -> bool:
    """Whether references from one product lead to another, through any number."""
    seen: set[str] = set()
    waiting = [ref]
    while waiting:
        name = waiting.pop()
        product = by_id.get(name)
        if product is None or name in seen:
            continue
        if product is start:
            return True
        seen.add(name)
        waiting += [each for _, each in product.refs]
    return False
