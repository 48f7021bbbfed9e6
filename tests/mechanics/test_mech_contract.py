"""What every module of the room has to keep: docstrings, running examples, light imports."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
from types import FunctionType, ModuleType

import pytest

import sparkout.mechanics

NEEDS_NUMPY = {"sparkout.mechanics.oil_film.reynolds", "sparkout.mechanics.oil_film.orbit"}


def names() -> list[str]:
    found = pkgutil.walk_packages(sparkout.mechanics.__path__, "sparkout.mechanics.")
    return sorted(m.name for m in found if not m.ispkg and "._" not in m.name)


MODULES = names()


def public_functions(module: ModuleType) -> list[FunctionType]:
    members = [getattr(module, name) for name in module.__all__]
    return [m for m in members if inspect.isfunction(m) and m.__module__ == module.__name__]


def test_the_room_was_found() -> None:
    assert len(MODULES) > 30


@pytest.mark.parametrize("name", MODULES)
def test_all_is_stated_and_exists(name: str) -> None:
    module = importlib.import_module(name)
    assert len(set(module.__all__)) == len(module.__all__) > 0
    for public in module.__all__:
        assert hasattr(module, public), public


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name: str) -> None:
    module = importlib.import_module(name)
    result = doctest.testmod(module)
    assert result.failed == 0
    functions = public_functions(module)
    assert result.attempted >= len(functions)


@pytest.mark.parametrize("name", MODULES)
def test_docstrings_keep_the_contract(name: str) -> None:
    for function in public_functions(importlib.import_module(name)):
        text = inspect.getdoc(function) or ""
        where = f"{name}.{function.__name__}"
        first, _, rest = text.partition("\n")
        assert first.endswith("."), where
        assert not rest or rest.startswith("\n"), where
        for part in ("Returns ", "Holds ", "Source: ", ">>> "):
            assert re.search(rf"^{re.escape(part)}", text, re.MULTILINE), (where, part)
        body = inspect.getsource(function)
        checks = "raise ValueError" in body or "_bounds." in body
        if checks:
            assert re.search(r"^Raises ", text, re.MULTILINE), where
        for argument in inspect.signature(function).parameters:
            line = re.search(
                rf"^{argument}: (.+?)(?=^\w+: |^Returns )", text, re.DOTALL | re.MULTILINE
            )
            assert line, (where, argument)
            assert re.search(r"\[[^\]]+\]", line[1]), (where, argument, "no unit")


def test_scalar_modules_do_not_import_numpy() -> None:
    light = [name for name in MODULES if name not in NEEDS_NUMPY]
    code = f"import sys, {', '.join(light)}; sys.exit('numpy' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
