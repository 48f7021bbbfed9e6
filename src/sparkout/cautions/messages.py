"""Reading the cautions, and finding those that belong to a piece of work."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from importlib import resources

from sparkout.faults import Fault, Place
from sparkout.sheet.nearest import nearest

__all__ = [
    "SIGNAL_WORDS",
    "SafetyMessage",
    "messages_for",
    "read_messages",
    "shipped_messages",
    "without_message",
]

SIGNAL_WORDS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
"""Gravest first."""


@dataclass(frozen=True, slots=True)
class SafetyMessage:
    """One caution: what can happen, what it does to people or things, how to avoid it.

    operations: the work it belongs to, as words (`hone`, `first start`).
    """

    name: str
    signal_word: str
    hazard: str
    consequence: str
    avoid: str
    operations: tuple[str, ...]
    source: str = ""


def read_messages(
    text: str | bytes, file_name: str = "cautions.yaml"
) -> tuple[tuple[SafetyMessage, ...], tuple[Fault, ...]]:
    """The cautions of a file, gravest signal word first, and every fault in it.

    text: the file itself.
    file_name: how faults name it [-].
    Returns the messages that can be read, and the faults; with a fault that stops there are none.
    Holds for files of form 1.
    Source: signal words as in ANSI Z535.6 and ISO 3864-2 (recalled from memory).

    >>> read_messages("sparkout cautions: 1")[1][0].found
    "no 'cautions'"
    """
    from sparkout.cautions.form import CautionsForm
    from sparkout.sheet.reading import open_document

    document = open_document(text if isinstance(text, bytes) else text.encode(), CautionsForm,
                             file_name)  # fmt: skip
    if document.model is None:
        return (), document.faults
    found: dict[str, SafetyMessage] = {}
    faults = list(document.faults)
    for i, row in enumerate(document.model.cautions):
        word = row.signal_word.strip().upper()
        if word not in SIGNAL_WORDS:
            hint = nearest(word, SIGNAL_WORDS)
            faults.append(Fault(document.place(("cautions", i, "signal word")),
                                f"'{row.signal_word}'", "one of " + ", ".join(SIGNAL_WORDS),
                                f"Did you mean '{hint}'?" if hint else ""))  # fmt: skip
        operations = tuple(part.strip() for part in row.operations.split(",") if part.strip())
        if not operations:
            faults.append(Fault(document.place(("cautions", i, "operations")), "nothing",
                                "the work it belongs to, such as 'hone, grind'"))  # fmt: skip
        if row.caution in found:
            faults.append(Fault(document.place(("cautions", i, "caution")),
                                f"'{row.caution}' a second time", "a name of its own"),
                          )  # fmt: skip
        found[row.caution] = SafetyMessage(
            row.caution, word, row.hazard, row.consequence, row.avoid, operations, row.source
        )
    if any(fault.stops for fault in faults):
        return (), tuple(faults)
    ordered = sorted(found.values(), key=lambda m: SIGNAL_WORDS.index(m.signal_word))
    return tuple(ordered), tuple(faults)


def shipped_messages() -> tuple[SafetyMessage, ...]:
    """The cautions that come with the program, gravest first.

    Returns the messages.
    Holds until a shop's own file takes their place.
    Source: each names its own, mostly common practice.
    Raises ValueError when the shipped file has a fault.

    >>> shipped_messages()[0].signal_word
    'DANGER'
    """
    text = resources.files("sparkout.cautions").joinpath("cautions.yaml").read_bytes()
    messages, faults = read_messages(text)
    if faults:
        raise ValueError(f"shipped cautions: {faults[0]}")
    return messages


def messages_for(
    messages: Iterable[SafetyMessage], operations: Iterable[str]
) -> tuple[SafetyMessage, ...]:
    """The cautions that belong to some operations, in the order given.

    A message belongs where all words of one of its operations stand in the operation: `hone`
    belongs to `align-hone mains` and `hone cylinder`.

    messages: of the shop or as shipped.
    operations: names of work.
    Returns the messages that apply.
    Holds for words; a machine of the shop's own name needs its name in the file.
    Source: the file.

    >>> [m.name for m in messages_for(shipped_messages(), ["align-hone mains"])]
    ['grinding and honing']
    """
    wanted = [_words(operation) for operation in operations]
    return tuple(
        message
        for message in messages
        if any(_words(own) <= words for own in message.operations for words in wanted)
    )


def without_message(
    messages: Iterable[SafetyMessage], operations: Iterable[str]
) -> tuple[Fault, ...]:
    """Operations no caution belongs to, told so that a gap in the file does not go unseen.

    messages: of the shop or as shipped.
    operations: names of work.
    Returns a fault for each, none of which stops anything.
    Holds as `messages_for`.
    Source: the file.

    >>> len(without_message(shipped_messages(), ["hone cylinder", "knit"]))
    1
    """
    known = tuple(messages)
    return tuple(
        Fault(Place(key=f"cautions for '{operation}'"), "none on file", "at least one",
              "Add the work to a caution, or a caution for it.", stops=False)
        for operation in dict.fromkeys(operations)
        if not messages_for(known, (operation,))
    )  # fmt: skip


def _words(text: str) -> frozenset[str]:
    return frozenset(text.casefold().replace("-", " ").split())
