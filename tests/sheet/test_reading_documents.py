"""Whole files against a model: values kept as typed, all faults at once, each with its place."""

from collections.abc import Iterable
from fractions import Fraction as F
from pathlib import Path
from typing import Annotated, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from pydantic import BaseModel, ConfigDict, Field, ValidationError
from ruamel.yaml import YAML

from sparkout.faults import Fault, Place
from sparkout.sheet.quantities import (
    Angle,
    Count,
    Flag,
    ForceRange,
    Hardness,
    Length,
    LengthRange,
    MoneyAmount,
    Percent,
    Temperature,
    Text,
    Torque,
    Words,
)
from sparkout.sheet.reading import (
    MisfitError,
    Section,
    json_schema,
    open_document,
    read_document,
)


class Spring(Section):
    kind: Literal["spring"]
    load: ForceRange


class Bolt(Section):
    kind: Literal["bolt"]
    torque: Torque
    angle: Angle | None = None


class Bore(Section):
    bore_diameter: LengthRange
    wall: Length = Field(description="thickness of the thinnest wall", examples=["3.0 mm"])

    def check(self) -> Iterable[MisfitError]:
        if self.bore_diameter.low is not None and self.wall.value > self.bore_diameter.low:
            yield MisfitError(
                f"a wall of {self.wall.typed}", "a wall thinner than the bore is wide", at=("wall",)
            )
            yield MisfitError("a bore that cannot be", "a bore that can")


class Sheet(Section):
    name: Text
    lengths_in: Literal["mm", "in"] = "mm"
    cylinders: Count
    cycle: Literal["four-stroke", "two-stroke"] = "four-stroke"
    firing_order: Words
    wet: Flag = False
    tested_at: Temperature | None = None
    share: Percent | None = None
    hard: Hardness | None = None
    bores: dict[str, Bore]
    parts: list[Annotated[Spring | Bolt, Field(discriminator="kind")]] = Field(default_factory=list)
    price: MoneyAmount | None = None
    with_: Text = Field("", alias="with")


GOOD = """\
# A sheet as a person writes it
name: Harbour four
lengths in: mm
Cylinders: 4
firing-order: 1-3-4-2
wet: no
tested at: 68 °F
share: 5 %
hard: HRC 52
bores:
  bore 1:
    Bore diameter: 100,000 to 100,020
    wall: 3.5
  bore-2:
    bore-diameter: 100.000-100.020 mm
    wall: 5/32 in
parts:
  - kind: spring
    load: 260 to 290 N
  - kind: bolt
    torque: 95 N·m
    angle: 90
price: 1200.50 EUR
with: head off
"""

BAD = """\
name: [x]
cylnders: 4
cycle: four stroke
firing order: 1-3,,4
hard: 52
bores:
  bore 1:
    bore diamter: 100,000 to 100,020 mm
    wall:
  bore 2: 5
  bore 3:
    - a
  bore 4:
    bore diameter: 100 to 101 mm
    wall: 200 mm
  bore 5:
    bore diameter: 1e3 mm
  bore 6:
    bore diameter: 100 to 101
    wall: 3 Nm
parts:
  - kind: sprng
    load: 1
  - load: 5
  - kind: bolt
    torque: 95
    angel: 90
    wall: 3
  - 7
price: $5
"""


def test_a_good_file_becomes_its_model() -> None:
    sheet, faults = read_document(GOOD, Sheet, "s.yaml", unit_key="lengths in")
    assert faults == ()
    assert sheet is not None
    assert sheet.cylinders == 4
    assert sheet.firing_order == ("1-3-4-2",)
    assert sheet.wet is False
    assert sheet.tested_at is not None
    assert sheet.tested_at.value == 20
    assert list(sheet.bores) == ["bore 1", "bore-2"]  # names are data, kept as written
    bore = sheet.bores["bore 1"]
    assert (bore.bore_diameter.low, bore.bore_diameter.high) == (100, F("100.02"))
    assert bore.bore_diameter.typed == "100,000 to 100,020"
    assert bore.wall.text == "3.5 mm"
    assert sheet.bores["bore-2"].wall.value == F(254, 10) * F(5, 32)
    assert isinstance(sheet.parts[1], Bolt)
    assert sheet.price is not None
    assert (sheet.price.amount, sheet.price.currency) == (F("1200.5"), "EUR")
    assert sheet.with_ == "head off"


def test_all_faults_of_a_bad_file_come_at_once_in_order() -> None:
    sheet, faults = read_document(BAD, Sheet, "b.yaml")
    assert sheet is None
    assert [str(fault) for fault in faults] == [
        "b.yaml:1:7: name: found values between [ ]; expected plain 'key: value' or '- value' "
        "lines. A decimal comma would split them, so each value gets a line of its own; a text "
        "with brackets goes in quotes.",
        "b.yaml:2:1: cylnders: found 'cylnders', which is not known here; expected a name known "
        "here. Did you mean 'cylinders'?",
        "b.yaml:3:8: cycle: found 'four stroke'; expected 'four-stroke' or 'two-stroke'. "
        "Did you mean 'four-stroke'?",
        "b.yaml:4:15: firing order: found '1-3,,4'; expected words parted by commas, or one below "
        "the other. Take out the comma too many.",
        "b.yaml:5:7: hard: found '52' without a unit; expected a hardness with its scale in HRC, "
        "HRB, HV or HBW. Type the unit behind the number.",
        "b.yaml:8:5: bores > bore 1 > bore diamter: found 'bore diamter', which is not known here; "
        "expected a name known here. Did you mean 'bore diameter'?",
        "b.yaml:9:5: bores > bore 1 > wall: found nothing behind 'wall'; expected a value. "
        "Type the value, or delete the line.",
        "b.yaml:10:11: bores > bore 2: found '5'; expected entries below it, one 'name: value' a "
        "line.",
        "b.yaml:12:5: bores > bore 3: found a list; expected entries below it, one 'name: value' a "
        "line.",
        "b.yaml:13:3: bores > bore 4: found a bore that cannot be; expected a bore that can.",
        "b.yaml:15:11: bores > bore 4 > wall: found a wall of 200 mm; expected a wall thinner than "
        "the bore is wide.",
        "b.yaml:16:3: bores > bore 5: found no 'wall' under 'bore 5'; expected 'wall', thickness "
        "of the thinnest wall. Add a line such as: wall: 3.0 mm",
        "b.yaml:17:20: bores > bore 5 > bore diameter: found '1e3 mm'; expected a number written "
        "out in full. Powers of ten are not read here: type 1000, not 1e3.",
        "b.yaml:19:20: bores > bore 6 > bore diameter: found '100 to 101' without a unit; expected "
        "a length in mm, µm, in or thou. Type the unit behind the number.",
        "b.yaml:20:11: bores > bore 6 > wall: found '3 Nm', a torque; expected a length in mm, µm, "
        "in or thou. Check that it stands in the right place.",
        "b.yaml:22:11: parts > item 1 > kind: found 'sprng'; expected 'spring', 'bolt'. "
        "Did you mean 'spring'?",
        "b.yaml:24:5: parts > item 2: found no 'kind'; expected 'kind', which says what this is.",
        "b.yaml:26:13: parts > item 3 > torque: found '95' without a unit; expected a torque in "
        "N·m, lbf·ft or lbf·in. Type the unit behind the number.",
        "b.yaml:27:5: parts > item 3 > angel: found 'angel', which is not known here; expected a "
        "name known here. Did you mean 'angle'?",
        "b.yaml:28:5: parts > item 3 > wall: found 'wall', which is not known here; expected one "
        "of: kind, load, torque, angle. Correct the name, or delete the entry.",
        "b.yaml:29:5: parts > item 4: found '7'; expected entries below it, one 'name: value' a "
        "line.",
        "b.yaml:30:8: price: found '$' beside the amount in '$5'; expected an amount such as "
        "56.50 or 56.50 EUR. Name a currency by its three capital letters; signs such as $ mean "
        "several.",
    ]


def test_a_missing_key_is_told_at_its_parent() -> None:
    _, faults = read_document("name: x\ncylinders: 4\nfiring order: 1-2\n", Sheet, "b.yaml")
    assert [str(fault) for fault in faults] == [
        "b.yaml:1:1: found no 'bores'; expected 'bores'. Add it."
    ]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("- a\n- b\n", "f.yaml:1:1: found a list; expected 'name: value' lines at the left edge."),
        ("some words\n", "found text without any 'name: value' line"),
        ("{a: 1}\n", "found values between { }"),
        ("", "found an empty file"),
    ],
)
def test_a_file_that_is_no_mapping(content: str, says: str) -> None:
    sheet, faults = read_document(content, Sheet, "f.yaml")
    assert sheet is None
    assert says in str(faults[0])


def test_the_unit_of_bare_lengths_comes_from_the_file_or_the_caller() -> None:
    text = GOOD.replace("lengths in: mm", "lengths in: in").replace("100,000 to 100,020", "4 to 5")
    sheet, _ = read_document(text, Sheet, unit_key="lengths in")
    assert sheet is not None
    assert sheet.bores["bore 1"].bore_diameter.low == F("101.6")
    sheet, _ = read_document(text, Sheet, units={"length": "mm"})
    assert sheet is not None
    assert sheet.bores["bore 1"].bore_diameter.low == 4
    sheet, faults = read_document(text, Sheet)
    assert sheet is None
    assert "without a unit" in str(faults[0])


def test_places_of_values_are_known_afterwards() -> None:
    document = open_document(GOOD, Sheet, "s.yaml", unit_key="lengths in")
    assert document.place(("bores", "bore 1", "wall")) == Place(
        "s.yaml", 13, 11, "bores > bore 1 > wall"
    )
    # What is not there is placed where it is missing.
    assert document.place(("bores", "bore 1", "height")).line == 11
    assert document.place(("cylinders",)).line == 4
    assert document.place(()).line == 2
    assert document.model is not None
    assert document.model.bores["bore-2"].place_of("bore_diameter").line == 15
    assert document.model.parts[1].place_of("torque") == Place("s.yaml", 21, 13, "torque")
    assert document.model.place_of("parts", 0, "load").line == 19


def test_places_do_not_make_equal_sheets_differ() -> None:
    one, _ = read_document(GOOD, Sheet, "a.yaml", unit_key="lengths in")
    other, _ = read_document("\n\n" + GOOD, Sheet, "b.yaml", unit_key="lengths in")
    assert one == other


def test_plain_models_are_read_too() -> None:
    class Limit(BaseModel):
        model_config = ConfigDict(extra="forbid")
        new_inch: str | None = None

    class Plain(BaseModel):
        model_config = ConfigDict(extra="forbid")
        bore_diameter: str
        limits: dict[str, Limit] = {}

    plain, faults = read_document(
        "Bore-diameter: 5\nlimits:\n  Bore Taper:\n    new inch: .001\n", Plain
    )
    assert faults == ()
    assert plain == Plain(bore_diameter="5", limits={"Bore Taper": Limit(new_inch=".001")})
    _, faults = read_document("bore diameter: 5\nlimits:\n  x:\n    new inhc: .001\n", Plain)
    assert "Did you mean 'new inch'?" in str(faults[0])


def test_files(tmp_path: Path) -> None:
    file = tmp_path / "sheet.yaml"
    _, faults = read_document(file, Sheet)
    assert "no such file" in str(faults[0])
    _, faults = read_document(tmp_path, Sheet, "here")
    assert str(faults[0]).startswith("here: found a folder")
    file.write_text(GOOD, encoding="utf-8")
    sheet, faults = read_document(file, Sheet, unit_key="lengths in")
    assert faults == ()
    assert sheet is not None
    file.write_bytes(b"x" * 600_000)
    _, faults = read_document(file, Sheet)
    assert "at most 500 000 bytes" in str(faults[0])
    _, faults = read_document(Path("a\0b"), Sheet)
    assert "cannot be opened" in str(faults[0])


def test_text_is_never_run() -> None:
    trap = "!!python/object/apply:os.system ['true']"
    _, faults = read_document(GOOD.replace("Harbour four", trap), Sheet, unit_key="lengths in")
    assert any("a tag" in str(fault) for fault in faults)
    code = "__import__('os').getcwd()"
    sheet, _ = read_document(GOOD.replace("Harbour four", code), Sheet, unit_key="lengths in")
    assert sheet is not None
    assert sheet.name == code


def test_models_can_be_made_without_a_file() -> None:
    bolt = Bolt(kind="bolt", torque="95 N·m")  # type: ignore[arg-type]
    assert bolt.torque.value == 95
    assert str(bolt.place_of("torque")) == "torque"
    assert Bolt(kind="bolt", torque=bolt.torque).torque == bolt.torque
    with pytest.raises(ValidationError, match="without a unit"):
        Bolt(kind="bolt", torque="95")  # type: ignore[arg-type]
    with pytest.raises(ValidationError, match="a length"):
        Bolt(kind="bolt", torque="95 mm")  # type: ignore[arg-type]
    with pytest.raises(ValidationError):
        bolt.angle = None  # type: ignore[misc]


def test_written_out_again_it_reads_the_same() -> None:
    sheet, _ = read_document(GOOD, Sheet, unit_key="lengths in")
    assert sheet is not None
    again = Sheet.model_validate_json(sheet.model_dump_json(by_alias=True, exclude_none=True))
    assert again.bores["bore 1"].wall.value == sheet.bores["bore 1"].wall.value
    assert again.price == sheet.price


class TestSchema:
    schema = json_schema(Sheet, "An engine")

    def test_is_a_schema_with_human_keys(self) -> None:
        Draft202012Validator.check_schema(self.schema)
        assert self.schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
        assert self.schema["title"] == "An engine"
        assert "firing order" in self.schema["properties"]
        assert "with" in self.schema["properties"]
        assert self.schema["required"] == ["name", "cylinders", "firing order", "bores"]
        wall = self.schema["$defs"]["Bore"]["properties"]["wall"]
        assert wall["examples"] == ["3.0 mm"]
        assert wall["description"] == "thickness of the thinnest wall"
        assert self.schema["$defs"]["Bore"]["properties"]["bore diameter"]["pattern"]

    def test_accepts_what_the_reader_accepts(self) -> None:
        # An editor's YAML sees bare numbers as numbers.
        seen = YAML(typ="safe").load(
            GOOD.replace("Cylinders", "cylinders")
            .replace("firing-order", "firing order")
            .replace("Bore d", "bore d")
            .replace("bore-d", "bore d")
        )
        assert list(Draft202012Validator(self.schema).iter_errors(seen)) == []

    def test_refuses_what_the_reader_refuses(self) -> None:
        seen = YAML(typ="safe").load(BAD)
        wrong = {
            tuple(error.path)[:2] for error in Draft202012Validator(self.schema).iter_errors(seen)
        }
        assert {("name",), ("cycle",), ("bores", "bore 2"), ("bores", "bore 3")} <= wrong


def mutated(text: str) -> st.SearchStrategy[str]:
    """A good file with some slips of the finger in it."""
    slip = st.tuples(
        st.integers(0, len(text)),
        st.integers(0, 3),
        st.text(alphabet="ab1 \n:-,.'\"[]{}#&*!|>%@`\t°½\u2212", max_size=3),
    )

    def slipped(slips: list[tuple[int, int, str]]) -> str:
        result = text
        for at, gone, put in slips:
            result = result[:at] + put + result[at + gone :]
        return result

    return st.lists(slip, min_size=1, max_size=4).map(slipped)


def one_or_the_other(content: bytes | str) -> None:
    model, faults = read_document(content, Sheet, "f.yaml", unit_key="lengths in")
    assert (model is None) == bool(faults)
    for fault in faults:
        assert isinstance(fault, Fault)
        assert fault.found
        assert fault.expected
        assert fault.place.line is None or fault.place.line >= 1
        assert "\n" not in str(fault)


@settings(max_examples=300, deadline=None)
@given(mutated(GOOD))
def test_any_slip_gives_a_model_or_faults(content: str) -> None:
    one_or_the_other(content)


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.text(), st.binary(max_size=200), st.text(alphabet="a: -\n[]{}'\"#&*!|>?%")))
def test_any_text_gives_a_model_or_faults(content: bytes | str) -> None:
    one_or_the_other(content)
