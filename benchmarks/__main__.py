"""Run every benchmark of this folder: `python -m benchmarks`, or only those named behind it."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path


def main(names: list[str]) -> int:
    here = Path(__file__).parent
    found = sorted(file.stem for file in here.glob("*.py") if not file.stem.startswith("_"))
    unknown = [name for name in names if name not in found]
    if unknown:
        print(f"No benchmark {', '.join(unknown)}. There are: {', '.join(found)}.", file=sys.stderr)
        return 2
    for name in names or found:
        module = import_module(f"benchmarks.{name}")
        if not hasattr(module, "main"):
            continue
        print(f"\n## {name}\n", flush=True)
        module.main()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
