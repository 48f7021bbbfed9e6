"""Crack-test cards: every act a test is made of, in an order that works, for either metal."""

from __future__ import annotations

import pytest

from sparkout.mechanics.materials import material
from sparkout.setups.all_steps import set_ups
from sparkout.setups.bench import Bench
from sparkout.setups.crack_test import crack_test


def in_order(notes: tuple[str, ...], *words: str) -> None:
    """Each word stands in a note, in notes that follow one another."""
    at = -1
    for word in words:
        found = [place for place, note in enumerate(notes) if place > at and word in note]
        assert found, (word, notes)
        at = found[0]


@pytest.mark.parametrize("metal", ["steel 4140", "ductile iron 80-55-06", "grey iron G3000"])
def test_iron_and_steel_by_particles_in_two_directions(metal: str) -> None:
    """AC 43.13-1B, 5-41: the field across the crack; 5-48: round and along; 5-51: demagnetise
    between two directions, along last, demagnetise and clean at the end."""
    made = crack_test("crankshaft", material(metal))
    assert made.kind == "crack-test by magnetic particles"
    in_order(
        made.notes,
        "1. Clean",
        "Magnetise round it",
        "Demagnetise. Magnetise along it",
        "Mark each indication",
        "Demagnetise and verify",
        "Wash",
    )
    assert not any("Metal not said" in note for note in made.notes)


@pytest.mark.parametrize("metal", ["aluminium 2024", "bronze C93200"])
def test_what_no_magnet_holds_to_by_penetrant(metal: str) -> None:
    made = crack_test("rod", material(metal))
    assert made.kind == "crack-test by penetrant"
    in_order(made.notes, "1. Clean", "Penetrant on", "developer", "rejects the rod", "Wash")
    text = " ".join((*made.notes, *made.looks))
    assert "agnetise" not in text
    assert "current" not in text
    assert "only cracks that are open at the surface" in text


def test_where_to_look_and_what_rejects() -> None:
    """TM 5-3895-346-14, inspection for cracks: from an oil hole, at 45° to the axis."""
    shaft = crack_test("crankshaft")
    assert "fillet" in shaft.looks[0]
    assert "oil hole" in shaft.looks[0]
    assert any("45° to the axis rejects the shaft" in note for note in shaft.notes)
    assert "bolts" in crack_test("rod").looks[0]
    with pytest.raises(ValueError, match="part is 'piston'; it has to be one of crankshaft, rod"):
        crack_test("piston")


def test_a_metal_nobody_said_is_taken_as_iron_and_told() -> None:
    assert crack_test("rod").notes[0].startswith("Metal not said, iron or steel taken")


def test_the_cards_of_a_plan(made_of, setup_job, setup_plan) -> None:  # type: ignore[no-untyped-def]
    cards = [one for one in made_of("workboat_four") if one.operation.startswith("crack-test")]
    assert [card.features for card in cards] == [("crankshaft",), ("rod 3",)]
    for card in cards:
        assert len(card.notes) >= 8
        assert {"crack testing", "cleaning chemicals", "compressed air"} <= set(card.cautions)
        assert not card.stopped
    plan, steps = setup_plan("workboat_four")
    said = Bench(grades={"rod": "aluminium 2024"})
    made = set_ups(setup_job("workboat_four"), plan, steps, said)
    kinds = [one.kind for one in made if one.operation.startswith("crack-test")]
    assert kinds == ["crack-test by magnetic particles", "crack-test by penetrant"]
