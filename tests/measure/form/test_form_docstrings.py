"""Examples of the form modules run, and their public functions say what the contract asks."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re

import pytest

import sparkout.measure.form as room

# Inner parts of the room, by their underscore, serve the public ones and carry plain docstrings.
NAMES = sorted(info.name for info in pkgutil.iter_modules(room.__path__))


def is_public(name: str) -> bool:
    return not name.startswith("_") and name != "records"


@pytest.mark.parametrize("name", [name for name in NAMES if not name.startswith("_kernels")])
def test_examples_run(name: str) -> None:
    module = importlib.import_module(f"sparkout.measure.form.{name}")
    found = doctest.testmod(module)
    assert found.failed == 0
    assert found.attempted > 0 or not is_public(name)


@pytest.mark.parametrize("name", [name for name in NAMES if is_public(name)])
def test_public_functions_follow_the_contract(name: str) -> None:
    module = importlib.import_module(f"sparkout.measure.form.{name}")
    functions = [
        getattr(module, public)
        for public in module.__all__
        if inspect.isfunction(getattr(module, public))
    ]
    assert functions
    for function in functions:
        text = inspect.getdoc(function) or ""
        for start in ("Returns ", "Holds ", "Source: ", "Raises ", ">>> "):
            assert re.search(rf"^{start}", text, re.MULTILINE), (function.__name__, start)
        for argument in inspect.signature(function).parameters:
            line = re.search(rf"^{argument}: (?:.|\n(?=    ))*", text, re.MULTILINE)
            assert line, (function.__name__, argument)
            assert re.search(r"\[[^\]]+\]", line.group()), (function.__name__, argument)
