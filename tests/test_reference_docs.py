"""Examples in docstrings run; the tool that turns docstrings into pages sees what is missing."""

import doctest
import importlib.util
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

_FILE = Path(__file__).parent.parent / "tools" / "reference.py"
_SPEC = importlib.util.spec_from_file_location("reference_tool", _FILE)
assert _SPEC is not None
assert _SPEC.loader is not None
reference = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(reference)

MODULES = {
    module.__name__: module for room in reference.ROOMS for module in reference.modules(room)
}


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name: str) -> None:
    result = doctest.testmod(MODULES[name])
    assert result.failed == 0, f"{result.failed} of {result.attempted} examples of {name} fail"


def test_examples_are_found_at_all() -> None:
    finder = doctest.DocTestFinder(exclude_empty=True)
    examples = sum(len(test.examples) for m in MODULES.values() for test in finder.find(m))
    assert examples > 100


GOOD = '''\
"""Wear of a bore."""

from typing import NamedTuple

__all__ = ["LIMIT", "Wear", "wear"]

LIMIT = 0.1


class Wear(NamedTuple):
    """How much has gone."""

    diametral: float


def wear(worn: float, new: float = 100.0) -> Wear:
    """Wear on diameter.

    w = worn - new

    worn: largest diameter [mm],
        above zero.
    new: size when new [mm], above zero.
    Returns the wear [mm].
    Holds for one direction.
    Source: arithmetic.
    Raises ValueError naming the value when it is not above zero.

    >>> wear(100.2).diametral
    0.2
    """
    if worn <= 0:
        raise ValueError(worn)
    return Wear(round(worn - new, 6))


def _helper(x):
    raise NotImplementedError
'''


@pytest.fixture
def package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A package with one room of one module, which tests rewrite; forgotten afterwards."""
    room = tmp_path / "trialpkg" / "measure"
    room.mkdir(parents=True)
    (tmp_path / "trialpkg" / "__init__.py").write_text("")
    (room / "__init__.py").write_text('"""Measuring, on trial."""\n')
    (room / "wear.py").write_text(GOOD)
    (room / "_inner.py").write_text('__all__ = ["f"]\ndef f(x):\n    return x\n')
    monkeypatch.syspath_prepend(str(tmp_path))
    yield room / "wear.py"
    for name in [name for name in sys.modules if name.split(".")[0] == "trialpkg"]:
        del sys.modules[name]


def loaded() -> ModuleType:
    return next(m for m in reference.modules("measure", "trialpkg") if m.__name__.endswith("wear"))


def breaches() -> list[str]:
    return [one for public in reference.publics(loaded()) for one in reference.breaches(public)]


def test_a_docstring_that_keeps_the_contract(package: Path) -> None:
    assert breaches() == []
    assert [public.name for public in reference.publics(loaded())] == ["Wear", "wear"]


@pytest.mark.parametrize(
    ("cut", "put", "breach"),
    [
        ("    worn: largest diameter [mm],\n        above zero.\n", "",
         "argument 'worn' is not described"),
        ("size when new [mm], above", "size when new, above", "argument 'new' has no [unit]"),
        ("    Returns the wear [mm].\n", "", "no 'Returns …'"),
        ("    Holds for one direction.\n", "", "no 'Holds …' (where it is valid)"),
        ("    Source: arithmetic.\n", "", "no 'Source: …'"),
        ("    Source: arithmetic.\n", "    Source:\n", "no 'Source: …'"),
        ("    Raises ValueError naming the value when it is not above zero.\n", "",
         "no 'Raises …', though it raises"),
        ("    >>> wear(100.2).diametral\n    0.2\n", "", "no example (>>> …)"),
        ("    new: size", "    fresh: size", "describes 'fresh', which is no argument"),
        ('    """How much has gone."""\n', "", "has no docstring"),
    ],
)  # fmt: skip
def test_a_missing_part_is_named(package: Path, cut: str, put: str, breach: str) -> None:
    assert cut in GOOD
    package.write_text(GOOD.replace(cut, put))
    assert breach in breaches()


def test_pages_are_written_checked_and_taken_away(
    package: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "docs"
    assert reference.main(["--check"], folder, "trialpkg") == 1
    assert "measure.md would change" in capsys.readouterr().err
    assert not folder.exists()
    assert reference.main([], folder, "trialpkg") == 0
    text = (folder / "measure.md").read_text(encoding="utf-8")
    assert "wear(worn: float, new: float = 100.0) -> Wear" in text
    assert "| `worn` | largest diameter, above zero. | mm |" in text
    assert "**Source** arithmetic." in text
    assert "w = worn - new" in text
    assert ">>> wear(100.2).diametral" in text
    assert "_helper" not in text
    assert reference.main(["--check"], folder, "trialpkg") == 0

    stale = folder / "gone.md"
    stale.write_text(reference.MARK + "\n", encoding="utf-8")
    (folder / "by-hand.md").write_text("kept\n", encoding="utf-8")
    assert reference.main(["--check"], folder, "trialpkg") == 1
    assert reference.main([], folder, "trialpkg") == 0
    assert not stale.exists()
    assert (folder / "by-hand.md").exists()


def test_a_breach_alone_fails_the_check(package: Path, tmp_path: Path) -> None:
    package.write_text(GOOD.replace("    Source: arithmetic.\n", ""))
    assert reference.main([], tmp_path, "trialpkg") == 0
    assert reference.main(["--check"], tmp_path, "trialpkg") == 1


def test_a_long_room_gets_a_page_for_each_part(
    package: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reference, "LONG_PAGE", 5)
    assert reference.main([], tmp_path / "docs", "trialpkg") == 0
    index = (tmp_path / "docs" / "measure.md").read_text(encoding="utf-8")
    assert "[wear](measure-wear.md)" in index
    assert (tmp_path / "docs" / "measure-wear.md").exists()


def test_rooms_that_are_not_there_yet_are_no_error(package: Path, tmp_path: Path) -> None:
    # The trial package has one room of five; the others are passed over.
    assert list(reference.modules("assembly", "trialpkg")) == []
    assert reference.pages("assembly", "trialpkg") == {}
    with pytest.raises(ModuleNotFoundError, match="no_such_package"):
        list(reference.modules("measure", "no_such_package"))
