"""Nothing is said of other bores, valves or journals where there is only one."""

from __future__ import annotations

import pkgutil
from pathlib import Path

import pytest

import sparkout.setups
from sparkout.setups._one_part import OF_ONE, OF_ONE_CYLINDER, for_one

SEVERAL = ("every second", "the others", "the rest.", "all cylinders", "all bores", "worst journal",
           "in pairs", "next one", "neighbouring")  # fmt: skip


@pytest.mark.parametrize("sentence", [*OF_ONE, *OF_ONE_CYLINDER])
def test_each_sentence_still_stands_in_a_set_up(sentence: str) -> None:
    """A sentence that was changed at its place would no longer be found here."""
    folder = Path(sparkout.setups.__path__[0])
    names = [info.name for info in pkgutil.iter_modules([str(folder)]) if info.name != "_one_part"]
    written = [(folder / f"{name}.py").read_text(encoding="utf-8") for name in names]
    start = sentence[:40]
    assert any(start in text for text in written), sentence


def test_several_keep_their_words() -> None:
    assert for_one(OF_ONE, 4, 4) == tuple(OF_ONE)
    # one of eight bores sleeved: its neighbours move all the same
    assert for_one(OF_ONE_CYLINDER, 1, 8) == tuple(OF_ONE_CYLINDER)
    assert for_one(OF_ONE_CYLINDER, 1, 1) == ()


def test_a_single_is_told_of_itself_alone(made_of, setup_plan) -> None:  # type: ignore[no-untyped-def]
    plan, steps = setup_plan("farm_single")
    said = [text for one in made_of("farm_single") for text in (*one.looks, *one.notes)]
    said += [step.look for step in steps if step.operation not in ("surface deck", "surface head")]
    said += [option.words for group, option in plan.chosen if group.name == "cylinders"]
    assert any("bore and hone the cylinder to piston +0.50" in text for text in said)
    skim = "Touch off at the highest point."  # the rest of one cut, not of several parts
    for text in said:
        if not text.startswith(skim):
            assert not any(word in text.casefold() for word in SEVERAL), text


def test_a_pressed_up_shaft_is_trued(made_of, setup_plan) -> None:  # type: ignore[no-untyped-def]
    """It is not bent straight: its pieces are turned and tilted on each other."""
    plan, steps = setup_plan("farm_single")
    said = [option.words for group, option in plan.chosen if group.name == "crankshaft"]
    assert said == ["true the pressed-up crankshaft between centres"]
    # the sheet's repair goes in place of the program's of that name
    (group,) = [group for group, _ in plan.chosen if group.name == "crankshaft"]
    assert [option.name for option in group.options].count("straighten") == 1
    assert "True crankshaft" in [step.title for step in steps]
    (card,) = [one for one in made_of("farm_single") if one.operation == "true crankshaft"]
    assert any("turned on each other" in note for note in card.notes)
    assert "pressing" in card.cautions
    assert not any("traighten" in text for text in (*said, *card.notes, *card.looks))


def test_eight_are_told_of_the_others(made_of, setup_plan) -> None:  # type: ignore[no-untyped-def]
    plan, steps = setup_plan("road_eight")
    looks = {text for one in made_of("road_eight") for text in one.looks}
    assert "Measure cool; the last bite small. Hone every second bore, then the others." in looks
    assert any("every second bore in turn" in step.look for step in steps)
    assert any("bore and hone all cylinders to" in option.words for _, option in plan.chosen)
