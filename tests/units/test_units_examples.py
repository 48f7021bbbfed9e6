"""The examples in the docstrings of units and of the file reader run."""

import doctest
import importlib
import pkgutil

import pytest

import sparkout.units

NAMES = [
    *(f"sparkout.units.{info.name}" for info in pkgutil.iter_modules(sparkout.units.__path__)),
    "sparkout.sheet.nearest",
    "sparkout.sheet.quantities",
]


@pytest.mark.parametrize("name", NAMES)
def test_examples(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_examples_are_found() -> None:
    finder = doctest.DocTestFinder(exclude_empty=True)
    modules = [importlib.import_module(name) for name in NAMES]
    assert sum(len(test.examples) for module in modules for test in finder.find(module)) >= 15
