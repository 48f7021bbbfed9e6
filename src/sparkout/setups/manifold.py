"""The intake manifold of a V engine after decks and heads were cut: faces and end rails.

Source: geometry as in `mechanics.v_manifold`, where the tests solve it numerically.
"""

from __future__ import annotations

from sparkout.engine.characteristics import Sense
from sparkout.engine.frame import Layout
from sparkout.mechanics.v_manifold import head_drop, manifold_cuts
from sparkout.plan.order import Step
from sparkout.setups._build import by_rule, exact, given, total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups._practice import Cuts, passes_by_habit
from sparkout.setups.number import Given, Plain
from sparkout.setups.record import SetUp

__all__ = ["cut_manifold"]

KIND = "cut the intake manifold to match"


def cut_manifold(
    deck_cut: Plain,
    head_cut: Plain,
    gasket_increase: Plain,
    bank_angle: Plain,
    face_angle: Plain,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """What to cut off each intake face and off the end rails.

    c = deck cut + head cut − gasket increase; face = c × sin β ÷ cos φ; rails = c × cos(β − φ) ÷
    cos φ, β half the bank angle, φ the faces' angle from the vertical.

    deck_cut: taken off each deck [mm], zero or more.
    head_cut: taken off each head face [mm], zero or more.
    gasket_increase: new head gasket's compressed thickness less the old one's [mm].
    bank_angle: between the banks [°], above 0, at most 180.
    face_angle: of the intake faces from the vertical [°], 0 to below 90.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: drop of the heads, cut off each face, cut off the end rails, passes.
    Holds for both banks cut alike.
    Source: `mechanics.v_manifold`.
    Raises ValueError naming the number when it is out of range, or when the heads rise.

    >>> made = cut_manifold(0.008 * 25.4, 0.006 * 25.4, 0, 90, 45)
    >>> [round(float(n.value) / 25.4, 3) for n in made.numbers]
    [0.014, 0.014, 0.02]
    """
    deck, head = given(deck_cut, "deck cut"), given(head_cut, "head cut")
    thicker = given(gasket_increase, "thicker gasket")
    bank = given(bank_angle, "bank angle", "angle")
    face = given(face_angle, "intake face from the vertical", "angle")
    drop = head_drop(float(deck.value), float(head.value), float(thicker.value))
    parts = deck + head - thicker if thicker.counts else deck + head
    falls = total("heads come down along the banks by", parts, Sense.AXIAL)
    if drop < 0.0:
        raise ValueError(
            f"drop is {drop:.6g} mm: the heads rise; nothing is cut off the manifold, its gaskets "
            "have to be thicker by as much"
        )
    found = manifold_cuts(float(falls.value), float(bank.value) / 2.0, float(face.value))
    inputs = (("c", falls.given("drop")), ("2 β", bank), ("φ", face))
    cut = by_rule("off each intake face, square to it", exact(round(found.face_cut, 6)),
                  "c × sin β ÷ cos φ", inputs)  # fmt: skip
    rails = by_rule("off the end rails, or thicker seals", exact(round(found.drop, 6)),
                    "c × cos(β − φ) ÷ cos φ", inputs)  # fmt: skip
    return SetUp(
        KIND,
        numbers=(falls, cut, rails),
        passes=passes_by_habit("mill manifold", cut.value, system, Sense.NONE, cuts),
        looks=("Lay it on with its gaskets before cutting: ports and bolt holes tell the truth.",),
    )


def matching_manifold(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """On a V engine, once per pair of banks, where the sheet says what the faces stand at."""
    if look.frame.layout is not Layout.V:
        return ()
    angle = look.sheet.layout.bank_angle
    bank: Given | Missing = (
        Missing("bank angle: the data sheet gives none")
        if angle is None
        else Given(angle, "bank angle", "angle")
    )
    suffixes = [look.frame.bank_suffix(b) for b in look.frame.banks]
    decks = [look.amount(f"deck{suffix} cut") for suffix in suffixes]
    heads = [look.amount(f"head{suffix} cut") for suffix in suffixes]
    thicker = [look.change(f"head gasket{suffix}", "gasket thickness") for suffix in suffixes]
    drops = {d + h for d, h in zip(decks, heads, strict=True)}
    if not any(drops):
        return ()
    marks: tuple[str, ...] = ()
    if len(drops) > 1:
        marks = ("the banks are not cut alike: work each side by its own drop",)
    gasket = thicker[0]
    if isinstance(gasket, Given):
        gasket = Given(gasket.value, "thicker gasket", marks=gasket.marks)
    return (
        made(
            KIND,
            cut_manifold,
            ("intake manifold",),
            {
                "deck_cut": Given(max(decks), "deck cut", marks=marks),
                "head_cut": Given(max(heads), "head cut"),
                "gasket_increase": gasket,
                "bank_angle": bank,
                "face_angle": look.nominal("intake face angle"),
            },
            {},
            {"system": look.system, "cuts": look.own_cuts("mill manifold")},
        ),
    )
