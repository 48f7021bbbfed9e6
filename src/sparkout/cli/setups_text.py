"""Set-ups in a terminal of eighty columns: numbers, the sum behind each, what is not certain."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from sparkout.cautions import shipped_messages
from sparkout.plan.order import Step
from sparkout.report.text import layout
from sparkout.report.text.layout import heading, table, wrapped
from sparkout.setups._dry_run import COMMON
from sparkout.setups.moves_table import Moved, MovesRow
from sparkout.setups.number import Number
from sparkout.setups.record import After, Pass, SetUp
from sparkout.setups.words import SENSES, Said

__all__ = ["moves_text", "set_ups_text"]


def set_ups_text(
    engine: str, units: str, steps: Sequence[Step], made: Sequence[SetUp]
) -> list[str]:
    """Every step that has something to dial in."""
    said = Said(units)
    lines = [engine]
    warned: dict[str, int] = {}
    for step in steps:
        own = [item for item in made if item.step == step.number]
        if own:
            lines += _step(step, own, said, warned)
    if len(lines) == 1:
        lines += ["", "Nothing to dial in."]
    if any(item.read_first for item in made):
        lines += [
            "",
            *wrapped(
                "What is measured at the machine goes in with --know 'NAME=VALUE', metals with "
                "--grade, a trial seat cut with --trial; the rest goes into the log."
            ),
        ]
    return lines


def _step(step: Step, own: list[SetUp], said: Said, warned: dict[str, int]) -> list[str]:
    away = " (sent out: for the order)" if step.kind == "outside" else ""
    title = step.operation or step.title.split(":", maxsplit=1)[0]
    lines = heading(f"{step.number}. {title}{away}")
    lines += _cautions(step.number, _union(item.cautions for item in own), warned)
    for features, body in _alike(own, said):
        lines += [*wrapped(features, "  "), *body]
    lines += _once("Before the spindle starts", _shared(item.dry_run for item in own))
    lines += _once("Stop and look", _union(item.looks for item in own))
    afterwards = [after for item in own for after in item.after]
    lines += _once("Read afterwards", _readings(afterwards))
    return lines


def _cautions(number: int, names: Sequence[str], warned: dict[str, int]) -> list[str]:
    """Before the work: in full where it is first shown, after that by name and where it stands."""
    lines: list[str] = []
    again: dict[tuple[str, int], list[str]] = {}
    for message in shipped_messages():
        if message.name not in names:
            continue
        if message.name in warned:
            again.setdefault((message.signal_word, warned[message.name]), []).append(message.name)
            continue
        warned[message.name] = number
        told = f"{message.hazard} {message.consequence} {message.avoid}"
        lines += wrapped(f"{message.signal_word}, {message.name}: {told}", "  ! ")
    for (signal, first), rest in again.items():
        lines += wrapped(f"{signal}, as told at step {first}: {'; '.join(rest)}.", "  ! ")
    return lines


def _alike(own: list[SetUp], said: Said) -> list[tuple[str, list[str]]]:
    """Set-ups that say the same of several features are said once."""
    found: dict[tuple[str, ...], list[SetUp]] = {}
    for item in own:
        key = (item.kind, *_body(item, said, _own_token(item)))
        found.setdefault(key, []).append(item)
    rows = []
    for key, items in found.items():
        names = _names([name for item in items for name in item.features])
        title = f"{names}: {items[0].kind}" if names else items[0].kind
        body = list(key[1:]) if len(items) > 1 else _body(items[0], said, "")
        rows.append((title, body))
    return rows


def _names(features: Sequence[str]) -> str:
    """`seat I1, E1, I3` rather than the kind again and again, where it is one kind."""
    kinds = {name.rpartition(" ")[0] for name in features}
    if len(features) < 2 or len(kinds) > 1 or "" in kinds:
        return ", ".join(features)
    return f"{kinds.pop()} " + ", ".join(name.rpartition(" ")[2] for name in features)


def _own_token(item: SetUp) -> str:
    """What tells this feature from its fellows: `I3`, `2`."""
    tokens = {name.rsplit(" ", 1)[-1] for name in item.features}
    return tokens.pop() if len(tokens) == 1 else ""


def _body(item: SetUp, said: Said, token: str) -> list[str]:
    """The lines of one set-up; with a token, as they read for each of several."""
    alike = re.compile(rf"(?<=[a-z]) {re.escape(token)}(?![\w.])") if token else None

    def wrapped(text: str, first: str = "", rest: str | None = None) -> list[str]:
        return layout.wrapped(alike.sub("", text) if alike else text, first, rest)

    lines: list[str] = []
    for refusal in item.refused:
        lines += wrapped(f"CANNOT BE: {refusal}.", "    ✕ ")
    for one in item.inputs:
        marks = f" [{'; '.join(one.marks)}]" if one.marks else ""
        text = f"{one.words}: {said.value(one.value, one.kind, one.step)}{marks}"
        lines += wrapped(text, "      ", "        ")
    for number in item.numbers:
        text, behind = _number(number, said)
        lines += wrapped(text, "    ", "      ")
        if behind:
            lines += wrapped(f"= {behind}", "        ", "          ")
    if item.passes:
        lines += wrapped("passes: " + "; ".join(_pass(cut, said) for cut in item.passes),
                         "    ", "      ")  # fmt: skip
        habits = dict.fromkeys(mark for cut in item.passes for mark in cut.marks)
        if habits:
            lines += wrapped(f"[{'; '.join(habits)}]", "      ")
    for missing in item.read_first:
        lines += wrapped(f"Read first: {missing}.", "    ? ")
    for note in item.notes:
        lines += wrapped(note, "    · ")
    return lines


def _number(number: Number, said: Said) -> tuple[str, str]:
    """The number with all that is to be said of it, and the sum behind it."""
    text = f"{number.label}: {said.number(number)}"
    tolerance = said.tolerance(number)
    if tolerance:
        text += f" ({tolerance})"
    if _outside(number):
        text += " OUTSIDE"
    if number.marks:
        text += f" [{'; '.join(number.marks)}]"
    return text, said.sum(number)


def _outside(number: Number) -> bool:
    low, high = number.low, number.high
    return (low is not None and number.value < low) or (high is not None and number.value > high)


def _pass(cut: Pass, said: Said) -> str:
    if not cut.each:
        return cut.note or cut.name
    depth = said.value(cut.each)
    sense = SENSES[cut.sense]
    count = f"{cut.count} × " if cut.count > 1 else ""
    return f"{cut.name} {count}{depth}" + (f" {sense}" if sense else "")


def _once(title: str, rows: Iterable[str]) -> list[str]:
    lines: list[str] = []
    for row in rows:
        lines += wrapped(row, "    - ")
    return [f"  {title}", *lines] if lines else []


def _union(groups: Iterable[Iterable[str]]) -> list[str]:
    return list(dict.fromkeys(text for group in groups for text in group))


def _shared(groups: Iterable[Sequence[str]]) -> list[str]:
    """What is particular to each set-up, then what is the same for every cut."""
    rows = _union(groups)
    particular = sorted(
        (row for row in rows if row not in COMMON),
        key=lambda row: 2 if row.startswith("After ") else int(row.startswith("Card ")),
    )
    points = [row for row in particular if row.startswith("Point at ")]
    if len(points) > 3:
        tail = points[0].partition("; ")[2]
        first = "Point at each part before its own cut and say its name"
        particular = [f"{first}; {tail}" if tail else f"{first}."] + [
            row for row in particular if row not in points
        ]
    return particular + [row for row in COMMON if row in rows]


def _readings(found: list[After]) -> list[str]:
    """Of each characteristic: which features, against which limit, and where."""
    kinds: dict[tuple[str, str], list[After]] = {}
    for after in found:
        rows = kinds.setdefault((after.key.characteristic, after.against), [])
        if after.key not in {row.key for row in rows}:
            rows.append(after)
    several = {name for name, _ in kinds if sum(name == other for other, _ in kinds) > 1}
    lines = []
    for (name, against), rows in kinds.items():
        where = _names([row.key.feature for row in rows])
        each = len(rows) >= 6 and name not in several
        text = f"{name} of each" if each else f"{name} of {where}"
        if against:
            text += f" ({against})"
        if rows[0].places:
            text += f": {rows[0].places}"
        lines.append(text)
    return lines


def moves_text(rows: Sequence[MovesRow]) -> list[str]:
    """The table of what each operation moves: one block for each operation."""
    lines = heading("What each cut moves, for each millimetre")
    lines += wrapped("+ grows, − falls. Worked out from the tool's own moves and the fits.")
    for row in rows:
        lines += ["", f"  {row.operation} ({row.amount})"]
        cells = [(f"    {item.quantity}", _per(item), "" if item.direct else "follows")
                 for item in row.moved]  # fmt: skip
        lines += table(cells, right=(1,))
    return lines


def _per(item: Moved) -> str:
    if item.per is None:
        return "+" if item.sign > 0 else "−"
    value = f"{float(item.per):+.3f}".rstrip("0").rstrip(".").replace("-", "−")
    unit = "" if item.unit == "mm/mm" else f" {item.unit}"
    return f"{value}{unit}"
