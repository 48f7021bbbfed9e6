"""Finding what is meant by a few words: `mains`, `sleeving`, `main shells`, `piston kit +0.50`.

A name is meant when every word of the phrase is one of its words. Endings do not count (`grinding`
is `grind`), articles do not count, a number without a sign stands for either sign.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from sparkout.sheet.nearest import nearest_few

__all__ = ["Named", "alike", "close_to", "meant", "stems", "told_once"]

_WORD = re.compile(r"[+-]?\d*[.,]?\d+(?:/\d+)?|[^\W\d_]+\d*")
_FEATURE = re.compile(r"\b(?:[IEie]?\d+[a-z]?|left|right|front|rear)\b")
_NUMBER = re.compile(r"[+-]?\d*[.,]?\d+")
_IDLE = frozenset(
    (
        "a", "all", "an", "any", "and", "at", "every", "for", "his", "her", "in", "is", "it", "its",
        "my", "no", "of", "on", "our", "own", "the", "their", "them", "these", "this", "to",
    )
)  # fmt: skip
_ENDINGS = ("ings", "ing", "ers", "es", "ed", "s", "e")


@dataclass(frozen=True, slots=True)
class Named:
    """Something that can be named: how it is called, and the words it answers to."""

    name: str
    words: frozenset[str]

    @classmethod
    def of(cls, name: str, *also: str) -> Named:
        return cls(name, frozenset(stem for text in (name, *also) for stem in stems(text)))


def stems(text: str) -> tuple[str, ...]:
    """The words of a text that count, without their endings; numbers in one form."""
    found = []
    for written in _WORD.findall(text.replace("\N{MINUS SIGN}", "-")):
        word = written.casefold()
        if word in _IDLE and written != "A":  # height A is a name, a deck is not
            continue
        found.append(_number(word) if _NUMBER.fullmatch(word) else _stem(word))
    return tuple(found)


def _number(word: str) -> str:
    value = Fraction(word.replace(",", ".").lstrip("+"))
    return f"{'+' if word.startswith('+') else ''}{float(value):g}"


def _stem(word: str) -> str:
    """The word without its ending, if enough is left to know it by.

    >>> [_stem(w) for w in ("sleeving", "sleeve", "mains", "bushes", "honed", "deck")]
    ['sleev', 'sleev', 'main', 'bush', 'hon', 'deck']
    """
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word


def meant(phrase: str, names: Iterable[Named]) -> tuple[str, ...]:
    """Every name that has all words of the phrase; just those it spells out, where there are any.

    >>> some = [Named.of("deck left cut"), Named.of("deck right cut"), Named.of("head cut")]
    >>> meant("the deck", some)
    ('deck left cut', 'deck right cut')
    """
    asked = stems(phrase)
    if not asked:
        return ()
    found = [item for item in names if all(_has(item.words, word) for word in asked)]
    exact = [item for item in found if set(stems(item.name)) == set(asked)]
    return tuple(dict.fromkeys(item.name for item in (exact or found)))


def _has(words: frozenset[str], asked: str) -> bool:
    if asked in words:
        return True
    if asked[:1].isdigit() or asked[:1] == ".":
        return f"+{asked}" in words or f"-{asked}" in words
    return len(asked) >= 4 and any(word.startswith(asked) for word in words)


def told_once(sentences: Iterable[str]) -> tuple[str, ...]:
    """Sentences that differ in the feature alone told by the first of them, with their number."""
    found: dict[str, list[str]] = {}
    for text in dict.fromkeys(sentences):
        found.setdefault(_FEATURE.sub("#", text), []).append(text)
    return tuple(
        some[0] if len(some) == 1 else f"{some[0]} (and {len(some) - 1} more alike)"
        for some in found.values()
    )


def alike(names: Iterable[str]) -> bool:
    """Whether names differ in a number, a valve or a bank alone: `rod 1 bend`, `rod 2 bend`."""
    return len({_FEATURE.sub("#", name) for name in names}) <= 1


def close_to(phrase: str, names: Iterable[str]) -> str:
    """`Did you mean …?` for a phrase nothing is called by; empty where nothing is near."""
    every = tuple(dict.fromkeys(names))
    plain = " ".join(word for word in phrase.split() if word.casefold() not in _IDLE)
    near = list(nearest_few(plain, every, 3)) or _mended(plain, every)
    return f"Did you mean {' or '.join(repr(name) for name in near)}?" if near else ""


def _mended(phrase: str, names: tuple[str, ...]) -> list[str]:
    """Names that a phrase means once its mistyped words are put right; up to three."""
    known = {stem: None for name in names for stem in stems(name)}
    asked: set[str] = set()
    for word in stems(phrase):
        near = (word,) if word in known else nearest_few(word, known, 1)
        asked.update(near)
    shared = [(-len(asked & set(stems(name))), i) for i, name in enumerate(names)]
    most = min(shared, default=(0, 0))[0]
    return [names[i] for count, i in sorted(shared) if count == most < 0][:3]
