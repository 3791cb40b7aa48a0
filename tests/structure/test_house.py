"""The law of the house, read off the code's own text: one idea, one place.

The floors themselves are layers of import-linter (pyproject.toml), which take every new file in.
A breach that has its reason stands here by name, beside its rule.
"""

import ast
import collections
import re

from tests.structure.source import (
    ROOT,
    classes,
    imports_of,
    inside,
    modules,
    text_of,
    tree_of,
    users_of,
    words_used,
)

LONGEST, SMALLEST, MOST_IN_A_FOLDER, MOST_IMPORTS_INSIDE = 450, 40, 16, 25
UNITS = "analysis.quantity.units"
FACTOR = re.compile(r"273\.15|[\"'](?:mm|cm|km|in|ft|inch|foot)[\"']\s*:\s*[\d.]")
FACTORS_BESIDE_THE_TABLE = {
    # The physics knows no judgement of readings, and so not its units either.
    "physics.constants": ["ZERO_CELSIUS_K = 273.15"],
}
CLASSES_WITH_TWO_MEANINGS = {
    # Where a member stands in a block of chances; where the ball is.
    "Place",
}
FILES_OF_ONE_NAME = {
    # A command's file has the name of its command, which is also that of its subject.
    "fit.py",
    "mark.py",
    "readings.py",
}


def lines(name):
    return len(text_of(name).splitlines())


def files():
    return {name: path for name, path in modules().items() if path.name != "__init__.py"}


def twice(where):
    return {name for name, places in where.items() if len(places) > 1}


def test_pygame_is_imported_by_the_window_alone():
    outside = set(modules()) - set(inside("sim.bench.screen"))
    assert not [
        name for name in outside if any(one.split(".")[0] == "pygame" for one in imports_of(name))
    ]


def test_the_model_of_the_bench_names_no_pixel():
    def names(tree):
        for node in ast.walk(tree):
            yield from (
                str(getattr(node, word))
                for word in ("id", "attr", "arg", "name")
                if word in vars(node)
            )

    assert not [
        f"{module}: {name}"
        for module in inside("sim.bench.model")
        for name in names(tree_of(module))
        if name.lower().endswith("_px")
    ]


def test_the_widget_kit_knows_no_practical():
    ours = {
        one
        for module in inside("sim.bench.ui")
        for one in imports_of(module)
        if one.split(".")[0] in ("analysis", "physics", "sim")
    }
    assert not [one for one in ours if not one.startswith("sim.bench.ui")]


def test_unit_factors_stand_in_the_table_of_units_alone():
    found = {
        name: [
            code for line in text_of(name).splitlines() if FACTOR.search(code := line.split("#")[0])
        ]
        for name in modules()
        if name != UNITS
    }
    assert {name: by_hand for name, by_hand in found.items() if by_hand} == FACTORS_BESIDE_THE_TABLE


def test_a_public_class_name_has_one_meaning():
    where = collections.defaultdict(list)
    for module in modules():
        for one in classes(module):
            where[one.name].append(module)
    assert twice(where) <= CLASSES_WITH_TWO_MEANINGS


def test_a_file_name_stands_once():
    where = collections.defaultdict(list)
    for module, path in files().items():
        if path.name != "__main__.py":
            where[path.name].append(module)
    assert twice(where) <= FILES_OF_ONE_NAME


def test_everything_that_is_defined_is_used_by_the_product():
    outside = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    outside += "".join(
        path.read_text(encoding="utf-8")
        for path in [*(ROOT / "analysis").rglob("*.jinja"), *(ROOT / "sim/page").glob("*.*js")]
    )
    assert not [
        f"{module}:{node.lineno} {node.name}"
        for module in modules()
        for node in ast.walk(tree_of(module))
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        and not node.name.startswith("__")
        and not words_used()[node.name]
        and node.name not in outside
        and not any("register" in ast.unparse(one) for one in node.decorator_list)
    ]


def test_a_file_is_one_subject_of_a_readable_length():
    assert not [name for name in files() if lines(name) > LONGEST]
    assert not [
        name
        for name in files()
        if lines(name) < SMALLEST and len(users_of(name)) == 1 and not name.endswith("__main__")
    ]


def test_no_folder_holds_more_files_than_can_be_looked_over():
    counted = collections.Counter(path.parent for path in files().values())
    assert not {str(folder): n for folder, n in counted.items() if n > MOST_IN_A_FOLDER}


def test_an_import_inside_a_function_has_its_reason_beside_it():
    """In its own line, or above the run of imports that it stands in."""
    inner, bare = set(), []
    for module in modules():
        source = text_of(module).splitlines()
        for line in imports_inside(module):
            inner.add((module, line))
            first = line
            while (module, first - 1) in inner:
                first -= 1
            if "#" not in source[line - 1] and not source[first - 2].strip().startswith("#"):
                bare.append(f"{module}:{line}")
    assert not bare
    assert len(inner) <= MOST_IMPORTS_INSIDE


def imports_inside(module):
    """The lines, in their order, in which a function of a module imports something."""
    return sorted(
        {
            node.lineno
            for function in ast.walk(tree_of(module))
            if isinstance(function, ast.FunctionDef)
            for node in ast.walk(function)
            if isinstance(node, ast.Import | ast.ImportFrom)
        }
    )


def test_no_module_stands_on_itself_not_even_for_a_type():
    above: list[str] = []
    done: set[str] = set()

    def visit(name):
        assert name not in above, " -> ".join([*above[above.index(name) :], name])
        if name in done:
            return
        above.append(name)
        for used in sorted(imports_of(name) & modules().keys()):
            if used != name:
                visit(used)
        done.add(above.pop())

    for name in modules():
        visit(name)
