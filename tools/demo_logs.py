"""Write the logs of the shipped demonstration jobs from their bench readings.

Times, ids and persons are made up from the row numbers, so that the same readings always give the
same log, byte for byte. Run after changing a readings.csv: python tools/demo_logs.py
"""

from __future__ import annotations

import csv
import hashlib
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sparkout.job.entry import draft, seal, timestamp

DEMOS = Path(__file__).parent.parent / "src" / "sparkout" / "demos"
START = datetime(2026, 11, 16, 7, 0, tzinfo=UTC)
DEVICE = "bench-1"
BY = "first bench"

INTAKE = {
    "workboat_four": {
        "engine": "Workboat auxiliary, four-cylinder diesel",
        "serial": "demonstration 4",
        "plates": ["block stamped −0.15 by an earlier shop"],
        "arrived": ["long block", "head", "injectors", "damper", "flywheel"],
        "missing": ["starter"],
        "complaint": "uses oil, hard to start cold, loses water",
        "hours_run": "14200",
    },
    "road_eight": {
        "engine": "Road engine, 90° V8 petrol",
        "serial": "demonstration 8",
        "arrived": ["block", "crankshaft", "rods", "heads"],
        "missing": ["manifold"],
        "complaint": "seized piston in cylinder 6",
    },
    "farm_single": {
        "engine": "Stationary single, overhead cam",
        "serial": "demonstration 1",
        "arrived": ["complete engine"],
        "complaint": "seized hot, noisy",
        "hours_run": "2100",
    },
}


def bodies(name: str) -> list[tuple[str, dict[str, object]]]:
    """Kind and body of every entry, in the order of the bench sheet."""
    found: list[tuple[str, dict[str, object]]] = [("intake", INTAKE[name])]
    parts: dict[tuple[str, str], list[dict[str, str]]] = {}
    with (DEMOS / name / "readings.csv").open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            fields = {
                "characteristic": row["characteristic"],
                "typed": row["reading"],
                "level": row["level"],
                "direction": row["direction"],
                "gauge": row["gauge"],
            }
            kept = {key: value for key, value in fields.items() if value}
            if row["phase"] == "new part":
                parts.setdefault((row["note"], row["feature"]), []).append(kept)
                continue
            reading: dict[str, object] = {
                "feature": row["feature"],
                **kept,
                "phase": row["phase"],
            }
            if row["note"]:
                reading["note"] = row["note"]
            found.append(("reading", reading))
    for (part, feature), sizes in parts.items():
        body = {"part": part, "quantity": "1", "for_feature": feature, "sizes": sizes}
        found.append(("part", body))
    return found


def log_of(name: str) -> str:
    """The whole log as text."""
    lines = []
    previous = ""
    for number, (kind, body) in enumerate(bodies(name), start=1):
        made, faults = draft(kind, BY, body)
        if made is None:
            raise SystemExit(f"{name}, entry {number}: " + "; ".join(map(str, faults)))
        entry = seal(
            made,
            id_=hashlib.sha256(f"{name} {number}".encode()).hexdigest()[:32],
            device=DEVICE,
            number=number,
            previous=previous,
            at=timestamp(START + timedelta(seconds=40 * number)),
        )
        previous = entry.hash
        lines.append(entry.line)
    return "\n".join(lines) + "\n"


def main() -> int:
    stale = []
    for name in INTAKE:
        path = DEMOS / name / "log.jsonl"
        text = log_of(name)
        if "--check" in sys.argv:
            if not path.exists() or path.read_text(encoding="utf-8") != text:
                stale.append(str(path))
        else:
            path.write_text(text, encoding="utf-8")
    for path in stale:
        print(f"{path} is not what its readings make; run tools/demo_logs.py")
    return 1 if stale else 0


if __name__ == "__main__":
    raise SystemExit(main())
