"""What every public function of the room has to keep: its docstring, and an example that runs."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re
from types import FunctionType, ModuleType

import pytest

import sparkout.assembly
import sparkout.cautions


def names() -> list[str]:
    found = [*pkgutil.walk_packages(sparkout.assembly.__path__, "sparkout.assembly."),
             *pkgutil.walk_packages(sparkout.cautions.__path__, "sparkout.cautions.")]  # fmt: skip
    return sorted(m.name for m in found if not m.ispkg and "._" not in m.name)


MODULES = names()


def public_functions(module: ModuleType) -> list[FunctionType]:
    members = [getattr(module, name) for name in module.__all__]
    return [m for m in members if inspect.isfunction(m) and m.__module__ == module.__name__]


def test_the_rooms_were_found() -> None:
    assert len(MODULES) > 15


@pytest.mark.parametrize("name", MODULES)
def test_all_is_stated_and_sorted(name: str) -> None:
    module = importlib.import_module(name)
    assert list(module.__all__) == sorted(module.__all__, key=lambda n: (not n.isupper(), n))


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name: str) -> None:
    module = importlib.import_module(name)
    result = doctest.testmod(module)
    assert result.failed == 0
    assert result.attempted >= len(public_functions(module))


@pytest.mark.parametrize("name", MODULES)
def test_docstrings_keep_the_contract(name: str) -> None:
    for function in public_functions(importlib.import_module(name)):
        text = inspect.getdoc(function) or ""
        where = f"{name}.{function.__name__}"
        first, _, rest = text.partition("\n")
        assert first.endswith("."), where
        assert rest.startswith("\n"), where
        for part in ("Returns ", "Holds ", "Source: ", ">>> "):
            assert re.search(rf"^{re.escape(part)}", text, re.MULTILINE), (where, part)
        if "raise ValueError" in inspect.getsource(function):
            assert re.search(r"^Raises ", text, re.MULTILINE), where
        for argument, parameter in inspect.signature(function).parameters.items():
            line = re.search(rf"^{argument}: (?:.+\n?)+?(?=\w+: |Returns )", text, re.MULTILINE)
            assert line, (where, argument)
            if str(parameter.annotation) in {"float", "int", "str", "Fraction", "Fraction | None"}:
                assert re.search(r"\[[^\]]+\]", line.group()), (where, argument, "no unit")
