"""What the documents show of assembly is what the program says and reads."""

from __future__ import annotations

from pathlib import Path

import pytest

import sparkout
from sparkout.cli.main import run
from sparkout.engine.names import known_names
from sparkout.sheet.files import open_sheet

DOCS = Path(__file__).parents[2] / "docs"
BOAT = str(Path(sparkout.__file__).parent / "demos" / "workboat_four")


def blocks(page: str, kind: str = "") -> list[str]:
    """The code blocks of a page."""
    parts = (DOCS / page).read_text("utf-8").split("```")[1::2]
    return [part.split("\n", 1)[1] for part in parts if part.split("\n", 1)[0] == kind]


@pytest.mark.parametrize(
    "words",
    [
        ("assembly", BOAT, "--step", "fit-crankshaft"),
        ("tighten", BOAT, "head"),
        ("lash", "--layout", "inline", "--cylinders", "6", "--firing", "1-5-3-6-2-4", "--intake",
         "0.30 to 0.35 mm", "--exhaust", "0.45 mm"),
    ],
)  # fmt: skip
def test_output_on_the_page_is_real(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    assert run(list(words)) == 0
    shown = capsys.readouterr().out.rstrip()
    assert any(shown in block for block in blocks("assembly.md"))


def test_the_sections_of_a_data_sheet_can_be_read(tmp_path: Path) -> None:
    whole, assembly = blocks("data-sheet.md", "yaml")
    file = tmp_path / "engine.yaml"
    file.write_text(whole + "\n" + assembly, "utf-8")
    sheet, faults = open_sheet(file, known_names())
    assert faults == ()
    assert sheet is not None
    assert sheet.assembly.joints["head"].count == 10
    assert [step.step for step in sheet.assembly.steps] == ["fit-crankshaft", "fit-idler-gear"]


def test_every_field_of_the_forms_is_named() -> None:
    from sparkout.sheet.assembly_form import JointForm, LashForm, MakerStepForm

    page = (DOCS / "data-sheet.md").read_text("utf-8")
    fields = {
        name.replace("_", " ")
        for form in (JointForm, LashForm, MakerStepForm)
        for name in form.model_fields
    } - {"note"}
    assert [name for name in sorted(fields) if name not in page] == []
