"""Options of cylinders and liners; figures made up, arithmetic beside them."""

from __future__ import annotations

from fractions import Fraction as F

from small_engine import SmallEngine

from sparkout.engine.dimension import Key
from sparkout.plan.decide import Stuck


def bores(*wear: tuple[str, str], supplied: str = "finished", hone: bool = True) -> SmallEngine:
    """Bores of 100 read twice across, pistons of 99.94, +0.50 sold; hone and bar in the shop."""
    m = SmallEngine(cylinders=len(wear), mains=len(wear) + 1)
    m.geometry["bore"] = F(100)
    m.limit("bore diameter", "100.000 to 100.020", "at most 100.10")
    m.limit("bore out-of-round", "at most 0.012", "at most 0.03")
    m.limit("piston clearance", "0.05 to 0.08", "0.05 to 0.12")
    m.part("pistons +0.50", "piston", 60, for_bore=F("100.5"), supplied=supplied,
           sizes={"piston skirt diameter": "100.43 to 100.44"})  # fmt: skip
    m.work("bore cylinder", "0.5").work("deglaze cylinder", "0.1")
    holds = {"bore diameter": "± 0.004", "bore out-of-round": "at most 0.006"}
    m.work("hone cylinder", "0.5", holds if hone else {}, smallest="0.010")
    for number, (low, high) in enumerate(wear, start=1):
        m.round(f"bore {number}", "bore diameter", low, high)
        m.read(f"piston {number}", "piston skirt diameter", "99.94")
    return m


def test_an_oval_bore_within_its_size_is_honed_true():
    """0.045 oval; honed at 100.045 + 0.010 = 100.055, clearance 0.115 of 0.12."""
    m = bores(("100.000", "100.045"))
    assert m.picks == {"cylinders": "hone"}
    assert m.plan.sizes[Key("bore 1", "bore diameter")].high.value == F("100.055")
    assert m.ordered() == ["hone cylinder"]


def test_a_bore_too_wide_to_hone_is_bored():
    """100.060 + 0.010 − 99.94 = 0.130, over 0.12."""
    assert bores(("100.000", "100.060")).picks == {"cylinders": "pistons +0.50"}


def test_honing_is_not_offered_where_the_shop_does_not_say_how_round_it_leaves_a_bore():
    m = bores(("100.000", "100.045"), hone=False)
    assert "hone" not in m.options("cylinders")


def test_a_score_is_not_honed_out():
    m = bores(("100.000", "100.010")).limit("bore score depth", None, "at most 0.01")
    m.read("bore 1", "bore score depth", "0.20")
    assert m.picks == {"cylinders": "pistons +0.50"}


def test_one_oversize_piston_beside_standard_only_where_they_are_supplied_singly():
    """Bore 1 is past honing, bore 2 is sound."""
    wear = (("100.000", "100.060"), ("100.010", "100.015"))
    assert bores(*wear).picks == {"cylinders": "pistons +0.50"}
    assert bores(*wear, supplied="singly").picks == {"cylinder 1": "pistons +0.50"}


# Liners ------------------------------------------------------------------------------------------


def lined(parent: str, *, kind: str = "dry liner", supplied: str = "finished") -> SmallEngine:
    """Worn liners; new ones of 104.015 outside and 100.020 inside, with pistons of 99.94."""
    m = SmallEngine(kind=kind)
    m.geometry |= {"bore": F(100), "liner closing": F(4, 5)}
    m.limit("bore diameter", "100.000 to 100.030", "at most 100.10")
    m.limit("piston clearance", "0.05 to 0.09", "0.05 to 0.12")
    m.limit("liner fit", "0.00 to 0.02")
    outside = "104.015" if supplied == "finished" else "104.265"
    m.part("liner", "liner", 40, supplied=supplied, sizes={
        "liner outside diameter": f"{outside} to {outside}",
        "liner inside diameter": "100.020 to 100.020"})  # fmt: skip
    m.part("kit", "piston", 60, for_bore=F(100), with_parts=("liner",),
           sizes={"piston skirt diameter": "99.940 to 99.940"})  # fmt: skip
    m.work("fit dry liner", "1").work("bore cylinder", "0.5")
    m.work("hone cylinder", "0.5", {"bore diameter": "± 0.004"})
    m.read("bore 1", "bore diameter", "100.20").read("piston 1", "piston skirt diameter", "99.94")
    return m.read("parent bore 1", "parent bore diameter", parent)


def test_a_finished_liner_goes_in_a_sound_parent_bore():
    """104.015 − 104.005 = 0.010 closes the bore by 0.008: 100.012 − 99.94 = 0.072."""
    m = lined("104.005")
    assert m.picks == {"cylinders": "kit"}
    assert m.plan.sizes[Key("bore 1", "bore diameter")].low.value == F("100.012")


def bar(m: SmallEngine) -> SmallEngine:
    return m.work("bore parent bore", "2", {"parent bore diameter": "± 0.002"})


def test_a_worn_parent_bore_is_bored_to_rough_liners_of_a_larger_outside():
    """104.040 is loose for standard; bored to 104.265 − 0.010 = 104.255."""
    m = bar(lined("104.040", supplied="rough"))
    assert m.picks == {"cylinders": "kit, parent bores bored"}
    assert m.plan.sizes[Key("parent bore 1", "parent bore diameter")].low.value == F("104.255")
    assert m.ordered() == ["bore parent bore", "fit dry liner", "bore cylinder", "hone cylinder"]


def test_a_parent_bore_wider_than_the_liner_cannot_be_bored_to_it():
    m = bar(lined("104.040"))
    need = m.option("cylinders", "kit, parent bores bored").needs[0]
    assert need.margin.value == F("-0.035")
    assert isinstance(m.outcome, Stuck)


def test_parent_bores_are_not_bored_where_the_shop_does_not():
    assert "kit, parent bores bored" not in lined("104.040", supplied="rough").options("cylinders")


def test_a_wet_liner_drops_in_and_keeps_its_bore():
    m = lined("104.030", kind="wet liner")
    m.limit("liner fit", "-0.05 to 0.00")
    m.work("fit wet liner", "0.5")
    assert m.picks == {"cylinders": "kit"}
    assert m.ordered() == ["fit wet liner"]
    assert m.plan.sizes[Key("bore 1", "bore diameter")].low.value == F("100.020")


def test_a_wet_liner_is_not_fitted_by_a_shop_that_does_not():
    m = lined("104.030", kind="wet liner")
    option = m.option("cylinders", "kit")
    assert option.impossible == "this shop lists no operation “fit wet liner”"


def oval(**more: str) -> SmallEngine:
    """A parent bore 0.030 oval, 104.000 to 104.030; at most 0.015 is asked."""
    m = lined("104.000", **more)
    m.limit("liner fit", "-0.03 to 0.02")
    m.limit("parent bore out-of-round", "at most 0.015")
    m.spots = [spot for spot in m.spots if not spot.key.feature.startswith("parent")]
    return m.round("parent bore 1", "parent bore diameter", "104.000", "104.030")


def test_oval_parent_bores_are_honed_true_before_new_liners():
    """Honed to 104.030 + 0.005: 0.020 of clearance, nothing closes: the bore stays 100.020."""
    m = oval().work("hone parent bore", "0.5", {"parent bore out-of-round": "at most 0.005"},
                    smallest="0.005")  # fmt: skip
    assert m.picks == {"cylinders": "kit, parent bores honed"}
    sizes = m.plan.sizes
    assert sizes[Key("parent bore 1", "parent bore diameter")].high.value == F("104.035")
    assert sizes[Key("bore 1", "bore diameter")].low.value == F("100.020")
    assert m.ordered() == ["hone parent bore", "fit dry liner"]


def test_parent_bores_are_not_honed_where_the_shop_does_not():
    assert "kit, parent bores honed" not in oval().options("cylinders")


def test_round_parent_bores_are_not_honed():
    m = lined("104.005").work("hone parent bore", "0.5", smallest="0.005")
    assert m.picks == {"cylinders": "kit"}
