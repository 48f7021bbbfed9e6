"""sparkout listen: take readings straight from a gauge into a job's log."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.gauge_lines import SAID, profiles_of
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.logargs import add_writer, written
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json
from sparkout.cli.shapes import MAYBE_TEXT, TEXT, TEXTS, listed, record
from sparkout.cli.wire import SPEEDS, chunks

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterable, Sequence
    from typing import Any

    from sparkout.faults import Fault
    from sparkout.load import Job
    from sparkout.measure.intake.gauge_line import GaugeReading

    # feature, level, direction
    _Place = tuple[str, str, str]

HELP = """\
Take readings straight from a gauge into the log: one that types like a keyboard, or
one on a serial port. Say what is measured and where; each value the gauge sends goes
to the next place, and is in the log before the next is asked for. What a gauge can
send is in docs/gauge-lines.md. A value that cannot be is not entered, and its place
is asked for again. Interrupt it any time: what was entered stays."""

_ROW = ("feature", "characteristic", "level", "direction", "typed", "unit", "gauge")
SCHEMA = envelope(
    "listen",
    {
        "entered": listed(record({"id": MAYBE_TEXT, **dict.fromkeys(_ROW, TEXT)})),
        "faults": TEXTS,
        "questions": TEXTS,
        "left": {**TEXTS, "description": "places not read"},
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--of", required=True, metavar="NAME", help="characteristic that is measured")
    p.add_argument("--at", action="append", required=True, metavar="FEATURE",
                   help='where, such as "bore 2"; again for each, in order')  # fmt: skip
    p.add_argument(
        "--levels", default="", metavar="LIST", help="levels in order: top,middle,bottom"
    )
    p.add_argument("--directions", default="", metavar="LIST",
                   help="directions at each level, in order: thrust,axial")  # fmt: skip
    p.add_argument("--gauge", action="append", required=True, metavar="ID",
                   help="gauge of the shop file; again for each that shares the line")  # fmt: skip
    p.add_argument("--from", dest="source", type=Path, metavar="DEVICE",
                   help="serial device or file (default: standard input)")  # fmt: skip
    p.add_argument("--speed", type=int, choices=SPEEDS, default=9600, metavar="BAUD",
                   help="of a serial device (default: 9600)")  # fmt: skip
    p.add_argument("--silence", type=float, default=2.0, metavar="SECONDS",
                   help="until a line without an end is cut short (default: 2)")  # fmt: skip
    p.add_argument("--master", default="", help="setting master of a gauge that shows deviations")
    p.add_argument("--phase", default="found", choices=("found", "left", "mock-up"),
                   help="when in the job (default: found)")  # fmt: skip
    p.add_argument("--try", dest="dry", action="store_true", help="read and tell, enter nothing")
    how = p.add_argument_group("how the gauge sends; said once, remembered beside the shop file")
    how.add_argument("--prefix", help="what it sends before each number")
    how.add_argument("--terminator", choices=("enter", "tab"), help="what ends a value")
    how.add_argument("--unit", help="unit of a number without one")
    how.add_argument("--decimals", help="places it always shows")
    how.add_argument("--low", help="least number it can show")
    how.add_argument("--high", help="greatest number it can show")
    how.add_argument("--deviation", choices=("yes", "no"), help="it shows the way from a master")
    how.add_argument("--polarity", choices=("plus is bigger", "plus is smaller"),
                     help="which way a deviation counts")  # fmt: skip
    how.add_argument("--decimal", choices=(".", ","), help="its decimal mark")
    add_writer(p)
    add_json(p)
    p.epilog = (
        'examples:\n  sparkout listen jobs/1204 --of "bore diameter" --at "bore 1" \\\n'
        '      --at "bore 2" --levels top,middle,bottom --directions thrust,axial \\\n'
        "      --gauge BG-1 --decimals 3 --low 90 --high 110\n"
        '  sparkout listen jobs/1204 --of "deck height" --at deck --levels front,rear \\\n'
        "      --gauge HG-1 --from /dev/ttyUSB0 --speed 9600"
    )


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    faults = list(_unknown(args, job))
    said = {name: getattr(args, name) for name in SAID if getattr(args, name) is not None}
    unit = "in" if job.shop.units == "inch" else "mm"
    profiles, wrong = profiles_of(job.files.shop.parent, args.gauge, said, unit)
    faults += wrong
    if any(profile.deviation for profile in profiles) and not args.master:
        from sparkout.faults import Fault, Place

        faults.append(
            Fault(Place(key="--master"), "a gauge that shows deviations and no master",
                  "the master it was set to, by its name or its size")
        )  # fmt: skip
    if faults:
        return show_faults(faults, args.json)
    bench = _Bench(args, job, list(_places(args)))
    from sparkout.measure.intake.gauge_stream import feed, finish, gauge_stream

    stream = gauge_stream(profiles)
    pieces = chunks(args.source, args.speed, args.silence)
    bench.ask()
    for piece in pieces:
        stream, items = feed(stream, piece) if piece else finish(stream)
        bench.take(items)
        if not bench.waiting:
            break
    else:
        bench.take(finish(stream)[1])
    return bench.told()


def _places(args: argparse.Namespace) -> Iterable[_Place]:
    """Every place in order: feature by feature, level by level, direction by direction."""
    levels, ways = (
        [word.strip() for word in text.split(",") if word.strip()] or [""]
        for text in (args.levels, args.directions)
    )
    return ((feature, level, way) for feature in args.at for level in levels for way in ways)


def _unknown(args: argparse.Namespace, job: Job) -> Iterable[Fault]:
    """What this engine or shop does not have."""
    from sparkout.engine.characteristics import BY_NAME
    from sparkout.faults import Fault, Place
    from sparkout.sheet.nearest import nearest

    asked = [("--of", args.of, tuple(BY_NAME), "a characteristic")]
    names = tuple(feature.name for feature in job.frame.features)
    asked += [("--at", feature, names, "a feature of this engine") for feature in args.at]
    gauges = tuple(gauge.id for gauge in job.shop.gauges.gauges)
    asked += [("--gauge", gauge, gauges, "a gauge of the shop file") for gauge in args.gauge]
    for key, word, known, what in asked:
        if word not in known:
            hint = nearest(word, known)
            remedy = f"Did you mean '{hint}'?" if hint else ""
            yield Fault(Place(key=key), f"'{word}'", what, remedy)
    if len(set(args.gauge)) < len(args.gauge):
        yield Fault(Place(key="--gauge"), "a gauge named twice", "each gauge once")


class _Bench:
    """The places still to be read and what came of the others; lives for one run."""

    def __init__(self, args: argparse.Namespace, job: Job, places: list[_Place]) -> None:
        self.args = args
        self.job = job
        self.waiting = places
        self.entered: list[dict[str, Any]] = []
        self.faults: list[Fault] = []
        self.questions: list[str] = []

    def ask(self) -> None:
        if self.waiting:
            say(f"{_words(self.waiting[0])}?")

    def take(self, items: Sequence[Any]) -> None:
        """Each value to the next place; a value in doubt leaves the place to be read again."""
        from sparkout.faults import Fault
        from sparkout.measure.intake.gauge_line import GaugeQuestion

        for item in items:
            if isinstance(item, Fault):
                self.faults.append(item)
                show_faults([item])
            elif isinstance(item, GaugeQuestion):
                self.questions.append(str(item.question))
                say(f"? {item.reading.sent}: {item.question.found}; expected "
                    f"{item.question.expected}.")  # fmt: skip
                if item.question.likely is not None:
                    say(f"  {item.question.likely.sentence}")
                say("  Nothing was entered: take the reading again.")
            elif not self.waiting:
                say(f"{item.sent}: every place has been read; not entered.")
                continue
            else:
                self._enter(item)
            self.ask()

    def _enter(self, reading: GaugeReading) -> None:
        from sparkout.engine.readings import Typed, read_typed
        from sparkout.faults import Place
        from sparkout.job.entry import draft

        feature, level, direction = self.waiting[0]
        body = {
            "feature": feature,
            "characteristic": self.args.of,
            "level": level,
            "direction": direction,
            **dict(reading.fields),
            "master": self.args.master if reading.deviation else "",
            "phase": self.args.phase,
        }
        body = {name: text for name, text in body.items() if text}
        typed = Typed(place=Place("gauge", reading.line),
                      **{name: text for name, text in body.items() if name != "phase"})  # fmt: skip
        _, wrong = read_typed(typed, self.job.frame, self.job.shop)
        if not wrong:
            made, wrong = draft("reading", self.args.by, body)
        if wrong or made is None:
            self.faults += wrong
            show_faults(wrong)
            return
        id_ = None
        if not self.args.dry:
            id_ = written(self.job.files.log, [made], self.args.device)[0].id
        self.waiting.pop(0)
        row: dict[str, Any] = {name: body.get(name, "") for name in _ROW}
        row["id"] = id_
        self.entered.append(row)
        if not self.args.json:
            place = _words((feature, level, direction))
            print(f"{place}: {reading.typed} {reading.unit}  {reading.gauge}", flush=True)

    def told(self) -> int:
        """What is left, and what the whole log makes of what was entered."""
        left = [_words(place) for place in self.waiting]
        doubts = self._doubts()
        if self.args.json:
            show_json("listen", {
                "entered": self.entered,
                "faults": [str(fault) for fault in self.faults],
                "questions": [*self.questions, *doubts],
                "left": left,
            })  # fmt: skip
        count = len(self.entered)
        say(f"{count} reading{'' if count == 1 else 's'} "
            + ("read, nothing entered" if self.args.dry else "entered")
            + (f"; not read: {'; '.join(left)}" if left else ""))  # fmt: skip
        for doubt in doubts:
            say(f"? {doubt}")
        # A line that was not taken does no harm where its place was read in the end.
        return 2 if left and (self.faults or self.questions) else 0

    def _doubts(self) -> list[str]:
        """Questions the log raises about what was just entered: a size that can hardly be."""
        ids = {row["id"] for row in self.entered if row["id"]}
        if not ids:
            return []
        job = opened(self.args.job)
        if isinstance(job, int):
            return []
        return [
            f"{item.typed.feature}, {item.typed.characteristic}: {item.question}"
            for item in job.located.questioned
            if item.typed.entry in ids
        ]


def _words(place: _Place) -> str:
    return ", ".join(word for word in place if word)
