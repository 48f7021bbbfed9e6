"""Write docs/reference from docstrings, or check that the docstrings keep their contract.

    python tools/reference.py           writes the pages that would change
    python tools/reference.py --check   writes nothing; exits 1 where a page would change or a
                                        public function leaves out a part of its docstring

The contract is in docs/contributing.md: what it gives, the formula, one line per argument with its
unit in square brackets, Returns, Holds, Source, Raises where it raises, an example that runs.
Functions and classes named in `__all__` count as public, in the module that defines them; a
module whose name begins with an underscore is for its neighbours only.
"""

from __future__ import annotations

import argparse
import ast
import importlib
import inspect
import pkgutil
import re
import sys
import textwrap
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any, NamedTuple

ROOMS = ("measure", "judge", "setups", "mechanics", "assembly")
PACKAGE = "sparkout"
PAGES = Path(__file__).resolve().parent.parent / "docs" / "reference"
LONG_PAGE = 400  # lines; a longer room gets a page for each of its parts
MARK = "<!-- Written by tools/reference.py from the docstrings: change those, not this page. -->"

_PARTS = ("Returns", "Holds", "Source", "Raises")
_ARGUMENT = re.compile(r"^(\w+(?:, \w+)*): ")
_UNIT = re.compile(r"\[([^\]]*)\]")


class Docstring(NamedTuple):
    """A docstring taken apart: prose, arguments, named parts, example."""

    summary: str
    prose: tuple[str, ...]
    arguments: dict[str, str]
    parts: dict[str, str]
    example: str
    strangers: tuple[str, ...]  # argument lines that belong to no argument


class Public(NamedTuple):
    """A public function or class of a module."""

    name: str
    thing: Any
    module: str

    @property
    def is_class(self) -> bool:
        return inspect.isclass(self.thing)

    @property
    def function(self) -> Callable[..., object]:
        # A compiled kernel keeps the Python function it was made from.
        return inspect.unwrap(getattr(self.thing, "py_func", self.thing))


def modules(room: str, package: str = PACKAGE) -> Iterator[ModuleType]:
    """The package of a room and every module below it, in order; nothing while it is not there."""
    name = f"{package}.{room}"
    try:
        top = importlib.import_module(name)
    except ModuleNotFoundError as missing:
        if missing.name == name:
            return
        raise
    yield top
    found = pkgutil.walk_packages(getattr(top, "__path__", []), f"{name}.")
    for info in sorted(found, key=lambda info: info.name):
        # A leading underscore says that a module is for its neighbours only.
        if "._" not in info.name:
            yield importlib.import_module(info.name)


def publics(module: ModuleType) -> list[Public]:
    """What a module names in `__all__` and defines itself, functions and classes only."""
    found = []
    for name in getattr(module, "__all__", ()):
        thing = getattr(module, name)
        one = Public(name, thing, module.__name__)
        callable_here = inspect.isfunction(one.function) or one.is_class
        if callable_here and getattr(thing, "__module__", "") == module.__name__:
            found.append(one)
    return found


def take_apart(text: str, names: Iterable[str]) -> Docstring:
    """A docstring by the contract's form. names: the arguments of the function."""
    known = set(names)
    head, mark, tail = text.partition(">>>")
    example = (mark + tail).strip()
    lines = head.rstrip().splitlines()
    summary: list[str] = []
    while lines and lines[0].strip():
        summary.append(lines.pop(0).strip())
    prose: list[list[str]] = [[]]
    arguments: dict[str, list[str]] = {}
    parts: dict[str, list[str]] = {}
    strangers: list[str] = []
    into: list[str] | None = None
    for line in lines:
        begins = _begins(line, known)
        if not line.strip():
            into = None
            prose.append([])
        elif isinstance(begins, str):
            into = parts.setdefault(begins, [])
            into.append(line.removeprefix(begins).lstrip("s:").strip())
        elif begins:
            into = [_ARGUMENT.sub("", line).strip()]
            arguments.update(dict.fromkeys(begins, into))
        elif (stranger := _ARGUMENT.match(line)) and _UNIT.search(line):
            strangers.append(stranger[1])
        elif into is not None:
            into.append(line.strip())
        else:
            prose[-1].append(line.rstrip())
    return Docstring(
        " ".join(summary),
        tuple("\n".join(block) for block in prose if block),
        {name: " ".join(words) for name, words in arguments.items()},
        {name: " ".join(words) for name, words in parts.items()},
        example,
        tuple(strangers),
    )


def _begins(line: str, known: set[str]) -> str | list[str]:
    """The part or the arguments a line begins, nothing where it begins neither."""
    for part in _PARTS:
        rest = line.removeprefix(part)
        if rest != line and rest[:1] in (" ", ":", "s"):
            return part
    found = _ARGUMENT.match(line)
    names = found[1].split(", ") if found else []
    return names if names and all(name in known for name in names) else []


def arguments_of(public: Public) -> list[str]:
    return [name for name in inspect.signature(public.function).parameters if name != "self"]


def breaches(public: Public) -> list[str]:
    """What the docstring of a public function or class leaves out."""
    own = public.thing.__doc__ if public.is_class else public.function.__doc__
    if not own or (public.is_class and own.startswith(f"{public.name}(")):
        return ["has no docstring"]  # records without one get their signature for it
    if public.is_class:
        return []
    names = arguments_of(public)
    doc = take_apart(inspect.cleandoc(own), names)
    found = [f"argument '{name}' is not described" for name in names if name not in doc.arguments]
    found += [
        f"argument '{name}' has no [unit]"
        for name, words in doc.arguments.items()
        if not _UNIT.search(words)
    ]
    found += [f"describes '{name}', which is no argument" for name in doc.strangers]
    needed = {"Holds": "no 'Holds …' (where it is valid)", "Source": "no 'Source: …'"}
    if inspect.signature(public.function).return_annotation not in (None, "None"):
        needed["Returns"] = "no 'Returns …'"
    if _raises(public.function):
        needed["Raises"] = "no 'Raises …', though it raises"
    found += [words for part, words in needed.items() if not doc.parts.get(part)]
    if not doc.example:
        found.append("no example (>>> …)")
    return found


def _raises(function: Callable[..., object]) -> bool:
    try:
        tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    except (OSError, SyntaxError):
        return False
    return any(isinstance(node, ast.Raise) and node.exc is not None for node in ast.walk(tree))


def signature(public: Public) -> str:
    """The call as it is written, annotations without quotes, unstable defaults left open."""
    plain = inspect.signature(public.function)
    words = []
    starred = False
    for name, parameter in plain.parameters.items():
        if parameter.kind is parameter.KEYWORD_ONLY and not starred:
            words.append("*")
            starred = True
        if parameter.kind is parameter.VAR_POSITIONAL:
            name, starred = f"*{name}", True
        elif parameter.kind is parameter.VAR_KEYWORD:
            name = f"**{name}"
        note = _annotation(parameter.annotation)
        word = f"{name}: {note}" if note else name
        if parameter.default is not parameter.empty:
            shown = repr(parameter.default)
            shown = "…" if " at 0x" in shown or len(shown) > 40 else shown
            word += f" = {shown}" if note else f"={shown}"
        words.append(word)
    gives = _annotation(plain.return_annotation)
    line = f"{public.name}({', '.join(words)})" + (f" -> {gives}" if gives else "")
    if len(line) <= 88:
        return line
    inner = "".join(f"    {word},\n" for word in words)
    return f"{public.name}(\n{inner})" + (f" -> {gives}" if gives else "")


def _annotation(note: object) -> str:
    if note is inspect.Parameter.empty:
        return ""
    if isinstance(note, type):
        return note.__qualname__
    return note if isinstance(note, str) else inspect.formatannotation(note)


def entry(public: Public) -> list[str]:
    """One function or class as Markdown."""
    if public.is_class:
        text = inspect.cleandoc(public.thing.__doc__ or "")
        head, mark, tail = text.partition(">>>")
        lines = [f"### class `{public.name}`", "", *head.rstrip().splitlines()]
        return [*lines, *_example((mark + tail).strip())]
    doc = take_apart(inspect.cleandoc(public.function.__doc__ or ""), arguments_of(public))
    lines = [f"### `{public.name}`", "", doc.summary, ""]
    lines += ["```python", *signature(public).splitlines(), "```"]
    for block in doc.prose:
        lines += ["", *block.splitlines()]
    if doc.arguments:
        lines += ["", "| argument | meaning | unit |", "|---|---|---|"]
        for name, words in doc.arguments.items():
            unit = "; ".join(_UNIT.findall(words)) or "-"
            meaning = " ".join(_UNIT.sub("", words).split()).replace(" ,", ",").replace(" .", ".")
            lines.append(f"| `{name}` | {_cell(meaning)} | {_cell(unit)} |")
    for part in _PARTS:
        if part in doc.parts:
            lines += ["", f"**{part}** {doc.parts[part]}"]
    return [*lines, *_example(doc.example)]


def _example(text: str) -> list[str]:
    return ["", "```pycon", *text.splitlines(), "```"] if text else []


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def pages(room: str, package: str = PACKAGE) -> dict[str, str]:
    """File name -> text for one room; a long room is an index with a page for each part."""
    prefix = f"{package}.{room}"
    parts: dict[str, list[str]] = {}
    listed: dict[str, list[str]] = {}
    intro: list[str] = []
    for module in modules(room, package):
        group = module.__name__.removeprefix(prefix).lstrip(".").split(".")[0]
        text = inspect.cleandoc(module.__doc__ or "").splitlines()
        if module.__name__ == prefix:
            intro = text
        found = publics(module)
        if not found:
            continue
        section = parts.setdefault(group, [])
        section += ["", f"## {module.__name__}", "", *text]
        for public in found:
            section += ["", *entry(public)]
        names = ", ".join(f"`{public.name}`" for public in found)
        listed.setdefault(group, []).append(f"`{module.__name__}`: {names}")
    if not parts:
        return {}
    title = [MARK, "", f"# {room}", "", *intro]
    whole = [*title, *(line for section in parts.values() for line in section)]
    if len(whole) <= LONG_PAGE:
        return {f"{room}.md": "\n".join(whole) + "\n"}
    index = list(title)
    written: dict[str, str] = {}
    for group, section in parts.items():
        file = f"{room}-{group or 'itself'}.md"
        head = [MARK, "", f"# {room}: {group}" if group else f"# {room}"]
        written[file] = "\n".join([*head, *section]) + "\n"
        index += ["", f"## [{group or room}]({file})", ""]
        index += [f"- {line}" for line in listed[group]]
    return {f"{room}.md": "\n".join(index) + "\n", **written}


def contents(made: dict[str, str]) -> str:
    """The first page: every room, in order."""
    lines = [
        MARK,
        "",
        "# Reference",
        "",
        "Public functions by room, written from their docstrings.",
    ]
    lines += ["", *(f"- [{room}]({room}.md)" for room in ROOMS if f"{room}.md" in made)]
    return "\n".join(lines) + "\n"


def changes(made: dict[str, str], folder: Path) -> list[tuple[Path, str | None]]:
    """Files to write (with their text) or to remove (None)."""
    wanted = {folder / name: text for name, text in made.items()}
    found: list[tuple[Path, str | None]] = [
        (file, text)
        for file, text in wanted.items()
        if not file.exists() or file.read_text(encoding="utf-8") != text
    ]
    for file in sorted(folder.glob("*.md")):
        if file not in wanted and file.read_text(encoding="utf-8").startswith(MARK):
            found.append((file, None))
    return found


def main(words: list[str] | None = None, folder: Path = PAGES, package: str = PACKAGE) -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 on any breach")
    check = parser.parse_args(words).check
    made: dict[str, str] = {}
    told: list[str] = []
    for room in ROOMS:
        made |= pages(room, package)
        for module in modules(room, package):
            for public in publics(module):
                told += [f"{module.__name__}.{public.name}: {one}" for one in breaches(public)]
    if made:
        made["README.md"] = contents(made)
    moved = changes(made, folder)
    for file, text in moved:
        if check:
            told.append(f"{file.name} {'would go' if text is None else 'would change'}: make docs")
        elif text is None:
            file.unlink()
        else:
            folder.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
    for line in told:
        print(line, file=sys.stderr)
    count = sum(text.count("\n### ") for text in made.values())
    print(f"{count} entries on {len(made)} pages; {len(told)} breaches", file=sys.stderr)
    return 1 if told and check else 0


if __name__ == "__main__":
    sys.exit(main())
