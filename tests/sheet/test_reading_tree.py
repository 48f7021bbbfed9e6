"""The form of a file: what is refused before any meaning is looked at, and where it stands."""

import time

import pytest

from sparkout.sheet.yaml_text import LARGEST
from sparkout.sheet.yaml_tree import Entry, Listing, Mapping, Scalar, grow, normal


def told(content: bytes | str) -> list[str]:
    _, faults = grow(content, "f.yaml")
    return [str(fault) for fault in faults]


def test_every_key_and_value_keeps_its_place_and_raw_text() -> None:
    root, faults = grow('bore: 3.480  # with its zero\nlist:\n  - no\n  - ".0010"\n', "f.yaml")
    assert faults == []
    assert root == Mapping(
        (
            Entry(Scalar("bore", 1, 1), Scalar("3.480", 1, 7)),
            Entry(
                Scalar("list", 2, 1),
                Listing((Scalar("no", 3, 5), Scalar(".0010", 4, 5, '"')), 3, 3),
            ),
        ),
        1,
        1,
    )


@pytest.mark.parametrize(
    ("key", "field"),
    [
        ("Bore diameter", "bore_diameter"),
        ("bore-diameter", "bore_diameter"),
        (" bore  DIAMETER ", "bore_diameter"),
        ("bore_diameter", "bore_diameter"),
    ],
)
def test_keys_are_words(key: str, field: str) -> None:
    assert normal(key) == field


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("a: {max: 0,0025}\n", "f.yaml:1:4: a: found values between { }"),
        ("a: [1, 2]\n", "f.yaml:1:4: a: found values between [ ]"),
        ("a:\n  - x\n  - {y: 1}\n", "f.yaml:3:5: a > item 2: found values between { }"),
        ("a: &here 1\n", "f.yaml:1:4: a: found an anchor (&here)"),
        ("a: 1\nb: *a\n", "f.yaml:2:4: b: found a reference (*a)"),
        ("a: !!int 3\n", "f.yaml:1:4: a: found a tag"),
        ("a: !x 3\n", "f.yaml:1:4: a: found a tag"),
        ("<<: *x\na: 1\n", "found a reference (*x)"),
        ("a: 1\nb: 2\nA: 3\n", "f.yaml:3:1: A: found 'A' a second time"),
        ("a: 1\nA: 3\n", "it stands in line 1 already"),
        ("a:\n\tb: 1\n", "f.yaml:2:1: found a tab character"),
        ("a: 1\tb\n", "f.yaml:1:5: found a tab character"),
        ("a: 1\x07\n", "f.yaml:1:5: found an invisible control character (U+0007)"),
        ("a: 1\u2028b: 2\n", "f.yaml:1:5: found an invisible control character (U+2028)"),
        ("a: \ud800\n", "which is not UTF-8"),
        ("a:\nb: 1\n", "f.yaml:1:1: a: found nothing behind 'a'"),
        ("a:\n  - 1\n  -\n", "f.yaml:3:4: a > item 2: found nothing behind '-'"),
        ("a: ''\n", "found nothing behind 'a'"),
        ("a: >5\nb: 1\n", "Write 'at least' or 'at most' for > and <."),
        ("a: >= 5\n", "Write 'at least' or 'at most' for > and <"),
        ("a: > 5\n", "Write 'at least' or 'at most' for > and <"),
        ("a: @5\n", "begins with a sign of its own meaning in 'a: @5'"),
        ("", "f.yaml:1:1: found an empty file"),
        ("  \n\n", "found an empty file"),
        ("# nothing yet\n", "found no entry, only comments"),
        ("a: b: c\n", "f.yaml:1:5: found a second colon, or wrong indentation"),
        ("a: 1\n b: 2\n", "found a second colon, or wrong indentation"),
        ("a: 1\n---\nb: 2\n", "f.yaml:2:1: found a second document"),
        ("%YAML 1.1\n---\na: 1\n", "f.yaml:1:1: found a line that begins with %"),
        ('a: "x\n', "found a text without its closing quote"),
        ("a: 'x\n", "found a text without its closing quote"),
        ("a:\n  b: 1\n c: 2\n", "found indentation that fits no line above, at 'c: 2'"),
        ("a: 1\nb\nc: 2\n", "found no colon in or before"),
        (": 5\n", "found an entry without a name before its colon"),
        ("? [1]\n: 3\n", "found values between [ ]"),
        ("a: - 5\n", "For a number below zero, leave no gap behind the minus."),
        (b"a: 20 \xb0C\n", "f.yaml:1:7: found the byte 0xb0, which is not UTF-8"),
        (b"a: 1\nb: \xc2\xb5 \xff\n", "f.yaml:2:6: found the byte 0xff"),
        ("a: 1".encode("utf-16"), "found text saved as UTF-16"),
        (b"x" * (LARGEST + 1), "expected at most 500 000 bytes"),
        ("".join("  " * i + "a:\n" for i in range(20)), "f.yaml:13:25: a > a > a"),
    ],
)
def test_refused_with_its_place(content: bytes | str, says: str) -> None:
    faults = told(content)
    assert any(says in fault for fault in faults), faults


def test_all_faults_of_form_come_at_once() -> None:
    faults = told("a: [1]\nb: &x 1\nc:\nd: 1\nD: 2\n")
    assert [fault.split(":")[1] for fault in faults] == ["1", "2", "3", "5"]


@pytest.mark.parametrize(
    "content",
    [
        'a: 0.002"\n',
        "a: −0.5 mm\n",
        "a: -0.5\n",
        "\ufeffa: 1\n",
        "a: 1\r\nb: 2\r\n",
        "a: at least 5 # why\n",
        "a: |\n  two\n  lines\n",
        "a: < 5\n",
        "---\na: 1\n",
    ],
)
def test_read_without_a_word(content: str) -> None:
    assert told(content) == []


@pytest.mark.parametrize(
    "content",
    [
        "[" * 400_000,
        "a: " + "{" * 400_000,
        "- " * 200_000,
        "? " * 200_000,
        "a: " + "x y " * 100_000,
        "'" * 400_000,
        "a: &" + "x" * 400_000,
        "#" * 400_000,
        ": " * 200_000,
    ],
)
def test_no_text_hangs_the_reader(content: str) -> None:
    began = time.perf_counter()
    grow(content, "f.yaml")
    assert time.perf_counter() - began < 20  # about a second here; brackets alone took minutes
