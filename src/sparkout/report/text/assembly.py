"""The run of assembly in a terminal: every step, where it stands, and what is done now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from sparkout.assembly.parts import PartLine, PartVerdict
from sparkout.assembly.progress import CheckState, CheckStatus, StepState, StepStatus
from sparkout.assembly.run_sheet import RunLine, RunSheet
from sparkout.assembly.step import CheckKind, Step
from sparkout.cautions import SafetyMessage
from sparkout.report.documents.built.assembled import Build
from sparkout.report.text.layout import heading, wrapped

__all__ = ["assembly_text", "caution_lines", "parts_lines", "run_text", "step_text"]

_MARKS = {StepState.DONE: "✓", StepState.OPEN: "▸", StepState.HELD: "·", StepState.FAILED: "✕"}
_CHECKS = {
    CheckState.OPEN: "?",
    CheckState.PASSED: "✓",
    CheckState.FAILED: "✕",
    CheckState.NOT_PROVEN: "!",
    CheckState.WAIVED: "↻",
}
_SHOWN = 3  # open steps told in full; the rest by name

Messages = Mapping[str, SafetyMessage]


def assembly_text(
    engine: str, build: Build, messages: Iterable[SafetyMessage], follows: str = ""
) -> list[str]:
    """Every step on a line, parts missing or spare, then the steps that can be done now.

    follows: the plan it goes by, in a sentence.
    """
    known = {message.name: message for message in messages}
    steps = build.progress.steps
    done = sum(status.state is StepState.DONE for status in steps)
    lines = [*wrapped(engine), f"{done} of {len(steps)} steps done."]
    lines += wrapped(f"Goes by: {follows}") if follows else []
    lines += wrapped("✓ done   ▸ can be done now   ✕ a check is out   · held by a step before")
    stage = ""
    for status in steps:
        if status.step.stage.value != stage:
            stage = status.step.stage.value
            lines += heading(stage)
        lines += _row(status)
    lines += parts_lines(build.parts)
    lines += _strays(build)
    now = [s for s in steps if s.state in (StepState.FAILED, StepState.OPEN)]
    for status in now[:_SHOWN]:
        lines += step_text(build, status, known)
    if len(now) > _SHOWN:
        names = ", ".join(status.step.id for status in now[_SHOWN:])
        lines += ["", *wrapped(f"Can be done now as well: {names}. --step NAME shows one.")]
    if build.progress.finished:
        lines += ["", "Every step is recorded and in order."]
    return lines


def _row(status: StepStatus) -> list[str]:
    text = f"{status.step.id}: {status.step.title}"
    if status.next is not None and 0 < status.next.done < status.next.of:
        text += f" ({status.next.done} of {status.next.of})"
    waived = sum(check.state is CheckState.WAIVED for check in status.checks)
    if waived:
        text += f" ({waived} waived)"
    return wrapped(text, f"  {_MARKS[status.state]} ", "      ")


def parts_lines(parts: Sequence[PartLine]) -> list[str]:
    """Parts that are missing, spare, substituted or not yet used, by how they stand."""
    open_ = [line for line in parts if not line.settled]
    told = [line for line in parts if line.instead and line.settled]
    if not open_ and not told:
        return []
    lines = heading("Parts")
    by_verdict: dict[str, list[PartLine]] = {}
    for line in sorted(open_, key=lambda line: line.verdict is PartVerdict.TO_FIT):
        by_verdict.setdefault(line.verdict.value, []).append(line)
    for verdict, group in by_verdict.items():
        if group[0].instead:
            names = "; ".join(line.words for line in group)
        else:
            names = "; ".join(_counted(line) for line in group)
        lines += wrapped(f"{verdict}: {names}.", "  ! ")
    for line in told:
        lines += wrapped(f"{line.words}.", "  ✓ ")
    return lines


def _counted(line: PartLine) -> str:
    if not line.planned and not line.received and not line.used:
        return line.words if ":" in line.words else line.part
    return f"{line.part} ({line.planned} planned, {line.received} received, {line.used} used)"


def _strays(build: Build) -> list[str]:
    faults = (*build.faults, *build.progress.faults)
    if not faults:
        return []
    lines = heading("Entries and words that fit no step")
    for fault in faults:
        lines += wrapped(str(fault), "  ! ")
    return lines


def step_text(build: Build, status: StepStatus, messages: Messages) -> list[str]:
    """One step in full: what to do, with what, what holds the next, and its cautions."""
    step = status.step
    lines = heading(step.title)
    lines += wrapped(
        f"Step {step.id}. {_state(status)}. Source: {step.source or 'none given'}.", "  "
    )
    for reason in status.reasons:
        lines += wrapped(f"{reason.rstrip('.')}.", f"  {_MARKS[status.state]} ")
    for note in status.notes:
        lines += wrapped(f"{note}.", "  ! ")
    lines += caution_lines(messages[name] for name in step.cautions if name in messages)
    lines += _doing(step)
    lines += _checks(status)
    lines += _next(build, status)
    return lines


def _state(status: StepStatus) -> str:
    return {
        StepState.DONE: "Done",
        StepState.OPEN: "Can be done now",
        StepState.HELD: "Held",
        StepState.FAILED: "A check is out: the steps behind it wait",
    }[status.state]


def caution_lines(messages: Iterable[SafetyMessage]) -> list[str]:
    """Signal word, what can happen, what it does, how to avoid it: always in full."""
    lines: list[str] = []
    for message in messages:
        text = f"{message.signal_word}: {message.hazard} {message.consequence} {message.avoid}"
        lines += wrapped(text, "  ! ")
    return lines


def _doing(step: Step) -> list[str]:
    lines: list[str] = []
    if len(step.features) > 1:
        lines += wrapped(f"on: {_names(step.features)}", "  ", "      ")
    elif step.features and step.features[0] not in step.title:
        lines += wrapped(f"on: {step.features[0]}", "  ")
    for words in step.do:
        lines += wrapped(words, "  - ")
    for name, words in (
        ("lubricant", step.lubricant),
        ("sealant", step.sealant),
        ("which way round", step.orientation),
        ("special fasteners", step.fasteners),
        ("timing marks", step.marks),
        ("locate and align first", step.align),
    ):
        if words:
            lines += wrapped(f"{name}: {words}", "  ", "      ")
    for part in step.parts:
        where = f" for {_names(part.features)}" if part.features else ""
        lines += wrapped(f"part: {part.count} × {part.part}{where}", "  ", "      ")
    if step.second_person:
        lines.append("  A second person looks too and is named in the record.")
    return lines


def _names(features: Sequence[str]) -> str:
    """`rod 1, 2, 3, 4` where all are of one kind."""
    kinds = {name.rpartition(" ")[0] for name in features}
    if len(features) < 2 or len(kinds) > 1 or "" in kinds:
        return ", ".join(features)
    return f"{kinds.pop()} " + ", ".join(name.rpartition(" ")[2] for name in features)


def _checks(status: StepStatus) -> list[str]:
    """What has to be recorded; checks alike on several features stand together."""
    lines: list[str] = []
    if status.checks:
        lines.append("  The next step waits for:")
    elif status.state is not StepState.DONE:
        lines += wrapped(f'the word that it is done: record "{status.step.id}" done', "  ? ")
    alike: dict[tuple[object, ...], list[CheckStatus]] = {}
    for check in status.checks:
        key = (_words(check), check.state, check.check.how) if check.state in (
            CheckState.OPEN, CheckState.PASSED
        ) else (id(check),)  # fmt: skip
        alike.setdefault(key, []).append(check)
    for group in alike.values():
        lines += _check(group)
    return lines


def _words(status: CheckStatus) -> str:
    """The words of a check without its feature."""
    check = status.check
    return check.words.replace(f" of {check.feature}:", ":") if check.feature else check.words


def _check(group: Sequence[CheckStatus]) -> list[str]:
    first = group[0]
    features = [status.check.feature for status in group if status.check.feature]
    head = first.check.name
    if first.check.kind is CheckKind.FASTENERS:
        head = f"{head}, {first.reading} done" if first.reading else head
        features = []
    said = _words(first).removeprefix(f"{head}: ")
    text = head if said == head else f"{head}: {said}"
    if features:
        text += f" ({_names(features)})"
    if first.check.kind is not CheckKind.FASTENERS:
        read = [status.reading for status in group]
        if any(read):
            text += "; read " + ", ".join(word or "–" for word in read)
    if first.check.kind is CheckKind.DERIVED:
        text += "; worked out from the readings above"
    if first.state not in (CheckState.OPEN, CheckState.PASSED):
        text += f". {first.reason}" if first.state is CheckState.WAIVED else ""
    lines = wrapped(text, f"    {_CHECKS[first.state]} ")
    if first.check.how and first.state is CheckState.OPEN:
        how = first.check.how
        lines += wrapped(how if how.startswith("from ") else f"with {how}", "        ")
    return lines


def _next(build: Build, status: StepStatus) -> list[str]:
    """What to type, and which steps wait for this one."""
    lines: list[str] = []
    step = status.step
    first = next((c for c in status.checks if c.state is CheckState.OPEN), None)
    if status.state is StepState.OPEN and step.joint is not None:
        lines += wrapped(f"One fastener at a time: sparkout tighten JOB {step.id}", "  ", "      ")
    elif status.state is StepState.OPEN and first is not None:
        what = f'"{step.id}/{first.check.name}"'
        about = f'"{first.check.feature}" ' if first.check.feature else ""
        result = "done" if first.check.kind is CheckKind.SEEN else "READING --gauge GAUGE"
        if first.check.kind is CheckKind.PARTS:
            what, result = '"STEP/used/PART"', "HOW-MANY"
        lines.append("  To record one:")
        lines += wrapped(f"sparkout record JOB {what} {about}{result} --kind check", "      ",
                         "        ")  # fmt: skip
    elif status.state is StepState.OPEN and not status.checks:
        lines += ["  To record it:", f"      sparkout record JOB {step.id} done --kind check"]
    waiting = [other.step.id for other in build.progress.steps if step.id in other.step.after]
    if waiting and status.state is not StepState.DONE:
        lines += wrapped(f"Waiting for this: {', '.join(waiting)}.", "  ", "      ")
    return lines


def run_text(engine: str, run: RunSheet, messages: Iterable[SafetyMessage]) -> list[str]:
    """First start and running in, as it goes with the engine."""
    lines = wrapped(engine)
    lines += [*heading("First start and running in"), *caution_lines(messages)]
    titles = {"before": "Before", "start": "First start", "warm-up": "First warm-up",
              "run-in": "Running in", "after": "Afterwards"}  # fmt: skip
    stages = {"warm-up": run.warm_up, "run-in": run.loaded}
    for when, title in titles.items():
        own = [line for line in run.lines if line.when == when]
        if own:
            lines += ["", f"{title}:"]
        if when != "warm-up":
            lines += _run_lines(own)
        for stage in stages.get(when, ()):
            words = [stage.speed, stage.load and f"load {stage.load}", stage.time, stage.watch]
            text = f"{stage.name}: {', '.join(word for word in words if word)}"
            lines += wrapped(f"{text} [{run.stages_source}]", "  □ ")
        if when == "warm-up":  # what is done when it has stood comes behind the stage
            lines += _run_lines(own)
    return lines


def _run_lines(lines: Iterable[RunLine]) -> list[str]:
    return [row for line in lines for row in wrapped(f"{line.words} [{line.source}]", "  - ")]
