"""The shop's decision rule in a sentence."""

from __future__ import annotations

from sparkout.sheet.shop import Shop

__all__ = ["rule_words"]


def rule_words(shop: Shop) -> str:
    """What counts as within or out, by the rule and the probability the shop's file sets."""
    sure = f"{float(shop.confidence * 100):g} %"
    match shop.rule:
        case "simple acceptance":
            return (
                "Within or out by plain comparison, gauge uncertainty not counted (simple "
                "acceptance, JCGM 106)."
            )
        case "prove conformity":
            return (
                f"Within only where the reading keeps off the limit by a guard band for {sure}, "
                "out only where it is beyond the limit by one (ISO 14253-1); between them lies "
                "what is not proven."
            )
    return (
        f"Within or out only where that is {sure} sure with the uncertainty of the gauge counted "
        "(guard band by risk, JCGM 106); between them lies what is not proven."
    )
