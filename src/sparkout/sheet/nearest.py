"""What a mistyped word was probably meant to be.

Distance counts a swap of two neighbours as one slip (optimal string alignment), because swapped
letters are the commonest slip of fast typing. Words of a key may also be cut short or change
places: 'bore dia' and 'diameter bore' are near 'bore diameter'.
"""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["distance", "nearest", "nearest_few"]

_LONGEST = 80


def distance(one: str, other: str) -> int:
    """Slips between two words: letters left out, put in, replaced, or swapped with a neighbour.

    >>> distance("lenght", "length"), distance("bore", "boar")
    (1, 2)
    """
    before: list[int] = []
    above = list(range(len(other) + 1))
    for row, letter in enumerate(one, 1):
        here = [row]
        for column, against in enumerate(other, 1):
            cost = min(
                above[column] + 1,
                here[column - 1] + 1,
                above[column - 1] + (letter != against),
            )
            if row > 1 and column > 1 and letter == other[column - 2] and one[row - 2] == against:
                cost = min(cost, before[column - 2] + 1)
            here.append(cost)
        before, above = above, here
    return above[-1]


def nearest(word: str, choices: Iterable[str]) -> str:
    """The choice that was probably meant, '' when none is near enough.

    >>> nearest("bore daimeter", ["bore diameter", "bore depth"])
    'bore diameter'
    """
    return next(iter(nearest_few(word, choices, 1)), "")


def nearest_few(word: str, choices: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Up to `most` choices near enough to be meant, nearest first."""
    typed = _plain(word)
    if not typed or len(typed) > _LONGEST:
        return ()
    ranked = []
    for choice in choices:
        meant = _plain(choice)
        far = 1 if _same_words(typed, meant) else distance(typed, meant)
        if far <= max(1, min(len(typed), len(meant)) // 3):
            ranked.append((far, choice))
    return tuple(choice for _, choice in sorted(ranked)[:most])


def _plain(word: str) -> str:
    return " ".join(word.casefold().replace("-", " ").replace("_", " ").split())


def _same_words(typed: str, meant: str) -> bool:
    """Each typed word begins a word of the meant key, in any order, and none is left over."""
    one, other = sorted(typed.split()), sorted(meant.split())
    if len(one) != len(other):
        return False
    return all(
        len(short) >= 2 and full.startswith(short) for short, full in zip(one, other, strict=True)
    )
