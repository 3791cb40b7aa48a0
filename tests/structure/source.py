"""The code's own text, read once: what stands where, who imports whom, which names are used."""

from __future__ import annotations

import ast
import collections
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGES = ("physics", "analysis", "sim")
STANDIN = ROOT / "sim" / "page" / "standin"
"""Imitates another package's interface for the browser, and is no module of the product;
tests/page/test_standin.py holds it."""


@cache
def modules() -> dict[str, Path]:
    """Every product module by its dotted name; a package stands for its `__init__.py`."""
    found = {}
    for package in PACKAGES:
        for path in sorted((ROOT / package).rglob("*.py")):
            if path.is_relative_to(STANDIN):
                continue
            name = ".".join(path.relative_to(ROOT).with_suffix("").parts)
            found[name.removesuffix(".__init__")] = path
    return found


@cache
def text_of(name: str) -> str:
    """The text of a module."""
    return modules()[name].read_text(encoding="utf-8")


@cache
def tree_of(name: str) -> ast.Module:
    """The syntax tree of a module."""
    return ast.parse(text_of(name))


def inside(*packages: str) -> list[str]:
    """The modules at or below these packages."""
    return [
        name
        for name in modules()
        if any(name == package or name.startswith(f"{package}.") for package in packages)
    ]


@cache
def imports_of(name: str) -> frozenset[str]:
    """The dotted names that a module imports, wherever in it the import stands."""
    found: set[str] = set()
    for node in ast.walk(tree_of(name)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name}: imports are written out in full"
            base = node.module or ""
            found |= {
                whole if (whole := f"{base}.{alias.name}") in modules() else base
                for alias in node.names
            }
    return frozenset(found)


def classes(name: str) -> list[ast.ClassDef]:
    """The public classes that a module defines."""
    defined = ast.iter_child_nodes(tree_of(name))
    return [
        node for node in defined if isinstance(node, ast.ClassDef) and not node.name.startswith("_")
    ]


@cache
def users_of(name: str) -> frozenset[str]:
    """The product modules that import a module."""
    return frozenset(one for one in modules() if name in imports_of(one) and one != name)


@cache
def words_used() -> collections.Counter[str]:
    """How often each name is used in the product, apart from where it is defined or imported."""
    used: collections.Counter[str] = collections.Counter()
    for name in modules():
        for node in ast.walk(tree_of(name)):
            if isinstance(node, ast.Name):
                used[node.id] += 1
            elif isinstance(node, ast.Attribute):
                used[node.attr] += 1
            elif isinstance(node, ast.keyword) and node.arg:
                used[node.arg] += 1
            elif isinstance(node, ast.MatchClass):
                used.update(node.kwd_attrs)
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                used[node.value] += node.value.isidentifier()
    return used
