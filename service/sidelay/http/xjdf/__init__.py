"""Reads and writes a subset of XJDF product intent, in its JSON form. Knows no Flask."""

from .notes import Ignored, in_document
from .read import ProductRead, read_product
from .write import write_product

__all__ = ["Ignored", "ProductRead", "in_document", "read_product", "write_product"]
