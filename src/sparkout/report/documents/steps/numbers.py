"""Numbers to dial in as rows: alike ones once, with the sum behind each and what is uncertain."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from sparkout.report.documents.wording import series
from sparkout.report.grouping import minus
from sparkout.setups.number import Number
from sparkout.setups.record import Pass, SetUp
from sparkout.setups.words import SENSES, Said

__all__ = ["numbers_of", "short_names"]


def numbers_of(made: Sequence[SetUp], said: Said) -> list[dict[str, Any]]:
    """One block for each kind of set-up in a step.

    Rows: what, of which features, value, where it may come out, the sum, letters of the marks
    explained under the rows, and whether the value lies outside of what it may be.
    """
    kinds: dict[str, list[SetUp]] = {}
    for item in made:
        kinds.setdefault(item.kind, []).append(item)
    return [_block(kind, some, said) for kind, some in kinds.items()]


def _block(kind: str, made: list[SetUp], said: Said) -> dict[str, Any]:
    marks: dict[str, str] = {}
    rows = [row for label in _labels(made) for row in _rows(label, made, said, marks)]
    rows += _passes(made, said, marks)
    return {
        "kind": kind,
        "features": short_names([name for item in made for name in item.features]),
        "rows": rows,
        "marks": [f"{letter}  {text}" for text, letter in marks.items()],
        "notes": _union(item.notes for item in made),
        "read_first": _with_names((item, item.read_first) for item in made),
        "refused": _with_names((item, item.refused) for item in made),
        "inputs": [
            minus(f"{one.words}: {said.value(one.value, one.kind, one.step)}")
            + (f" [{'; '.join(one.marks)}]" if one.marks else "")
            for item in made
            for one in item.inputs
        ],
    }


def _labels(made: Iterable[SetUp]) -> list[str]:
    return list(dict.fromkeys(number.label for item in made for number in item.numbers))


def _rows(label: str, made: list[SetUp], said: Said, marks: dict[str, str]) -> list[list[Any]]:
    """Rows of one label: features for which everything is alike share one."""
    alike: dict[tuple[str, str, str, str, bool], list[str]] = {}
    for item in made:
        for number in item.numbers:
            if number.label == label:
                key = _said(number, said, marks)
                alike.setdefault(key, []).extend(item.features)
    several = len({name for item in made for name in item.features}) > 1
    return [
        [
            label if k == 0 else "",
            short_names(features) if several else "",
            {"strong": value},
            tolerance,
            behind,
            letters,
            outside,
        ]
        for k, ((value, tolerance, behind, letters, outside), features) in enumerate(alike.items())
    ]


def _said(number: Number, said: Said, marks: dict[str, str]) -> tuple[str, str, str, str, bool]:
    behind = said.sum(number)
    low, high = number.low, number.high
    outside = (low is not None and number.value < low) or (high is not None and number.value > high)
    return (
        minus(said.number(number)),
        minus(said.tolerance(number)),
        minus(f"= {behind}") if behind else "",
        _letters(number.marks, marks),
        outside,
    )


def _letters(texts: Iterable[str], marks: dict[str, str]) -> str:
    """Letters of the marks, `▲ a b`; a new mark gets the next letter."""
    for text in texts:
        marks.setdefault(text, chr(ord("a") + len(marks)) if len(marks) < 26 else f"a{len(marks)}")
    letters = " ".join(marks[text] for text in dict.fromkeys(texts))
    return f"▲ {letters}" if letters else ""


def _passes(made: list[SetUp], said: Said, marks: dict[str, str]) -> list[list[Any]]:
    alike: dict[tuple[str, str], list[str]] = {}
    for item in made:
        if item.passes:
            habits = list(dict.fromkeys(mark for cut in item.passes for mark in cut.marks))
            words = "; ".join(_pass(cut, said) for cut in item.passes)
            key = (minus(words), _letters(habits, marks))
            alike.setdefault(key, []).extend(item.features)
    several = len({name for item in made for name in item.features}) > 1
    return [
        [
            "passes" if k == 0 else "",
            short_names(names) if several else "",
            "",
            "",
            words,
            letters,
            False,
        ]
        for k, ((words, letters), names) in enumerate(alike.items())
    ]


def _pass(cut: Pass, said: Said) -> str:
    if not cut.each:
        return cut.note or cut.name
    sense = SENSES[cut.sense]
    count = f"{cut.count} × " if cut.count > 1 else ""
    return f"{cut.name} {count}{said.value(cut.each)}" + (f" {sense}" if sense else "")


def short_names(names: Iterable[str]) -> str:
    """`rod journals 1 to 4`; names of several kinds one after the other."""
    kinds: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        kind, _, number = name.rpartition(" ")
        if kind and ((number.isalnum() and any(map(str.isdigit, number))) or kind in _BANKED):
            kinds.setdefault(kind, []).append(number)
        else:
            kinds.setdefault(name, [])
    told = []
    for kind, numbers in kinds.items():
        ordered = sorted(numbers, key=int) if all(map(str.isdigit, numbers)) else numbers
        plural = "es" if kind.endswith(("sh", "s", "ch")) else "s"
        head = f"{kind}{plural}" if len(numbers) > 1 else kind
        told.append(f"{head} {series(ordered)}" if numbers else kind)
    return ", ".join(told)


_BANKED = ("deck", "head", "head gasket")


def _with_names(rows: Iterable[tuple[SetUp, tuple[str, ...]]]) -> list[str]:
    """Sentences, each once, with the features they are about where these are several."""
    found: dict[str, list[str]] = {}
    for item, texts in rows:
        for text in texts:
            found.setdefault(text, []).extend(item.features)
    return [
        minus(f"{short_names(names)}: {text}") if names else minus(text)
        for text, names in found.items()
    ]


def _union(groups: Iterable[Iterable[str]]) -> list[str]:
    return list(dict.fromkeys(minus(text) for group in groups for text in group))
