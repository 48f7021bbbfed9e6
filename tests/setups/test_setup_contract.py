"""Docstrings of the room keep their contract, and their examples run."""

from __future__ import annotations

import doctest
import importlib
import importlib.util
import pkgutil
import sys
from pathlib import Path
from types import ModuleType

import pytest

import sparkout.setups

ROOT = Path(__file__).parents[2]
MODULES = sorted(
    info.name for info in pkgutil.iter_modules(sparkout.setups.__path__, "sparkout.setups.")
)


def reference() -> ModuleType:
    spec = importlib.util.spec_from_file_location("reference", ROOT / "tools" / "reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["reference"] = module
    spec.loader.exec_module(module)
    return module


def test_the_room_was_found() -> None:
    assert len(MODULES) > 35


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name: str) -> None:
    module = importlib.import_module(name)
    result = doctest.testmod(module)
    assert result.failed == 0
    public = [getattr(module, item) for item in module.__all__]
    functions = [f for f in public if callable(f) and not isinstance(f, type)]
    if "._" not in name:
        assert result.attempted >= len(functions)


@pytest.mark.parametrize("name", [m for m in MODULES if "._" not in m])
def test_docstrings_keep_the_contract(name: str) -> None:
    tool = reference()
    module = importlib.import_module(name)
    told = [
        f"{public.name}: {one}" for public in tool.publics(module) for one in tool.breaches(public)
    ]
    assert told == []


@pytest.mark.parametrize("name", MODULES)
def test_every_kind_has_its_source_on_top(name: str) -> None:
    module = importlib.import_module(name)
    text = module.__doc__ or ""
    if hasattr(module, "KIND"):
        assert "Source" in text, name
