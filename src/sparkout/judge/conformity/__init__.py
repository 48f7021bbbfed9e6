"""Conformity with limits when values are uncertain: probabilities, guard bands, risks, rules."""
