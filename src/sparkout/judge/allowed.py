"""The limit a finding was judged by, in words: one wording for papers, plans and set-ups."""

from __future__ import annotations

from sparkout.engine.characteristics import BY_NAME
from sparkout.judge.finding import Finding
from sparkout.judge.words import Words

__all__: list[str] = []


def limit_words(finding: Finding, words: Words) -> str:
    """Moved with the size where the part is meant to be over or under; a rule of thumb says so."""
    limit, bounds = finding.check.limit, finding.bounds
    if bounds is None:
        return "no limit given"
    name = limit.characteristic
    if BY_NAME[name].dimension == "test":
        return "must pass"
    text = bounds.typed if finding.check.instance.inner else words.bounds(bounds, name)
    return f"{text} (a rule of thumb: {limit.thumb})" if limit.thumb else text
