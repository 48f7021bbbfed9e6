"""What is refused at the border of the log, and in which words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.faults import Place
from sparkout.job.bodies import KINDS, Photo, Reading, Work
from sparkout.job.border import body_as_dict, freeze, read_body, thaw
from sparkout.job.entry import draft

READING = {"feature": "bore 2", "characteristic": "bore diameter", "typed": "100.246"}
HERE = Place("log.jsonl", 41)


def words(kind: str, body: object) -> list[str]:
    read, faults = read_body(kind, body, HERE)
    assert (read is None) == bool(faults)
    return [str(fault) for fault in faults]


def test_a_reading_is_kept_as_typed() -> None:
    body, faults = read_body("reading", {**READING, "typed": " +5 tenths"}, HERE)
    assert faults == ()
    assert body == Reading(feature="bore 2", characteristic="bore diameter", typed=" +5 tenths")


@pytest.mark.parametrize(
    ("kind", "body", "said"),
    [
        (
            "reading",
            {**READING, "typed": 100.246},
            "log.jsonl:41: reading.typed: found 100.246 (a number); "
            'expected text, as it was typed ("100.246").',
        ),
        (
            "reading",
            {**READING, "levle": "top"},
            "log.jsonl:41: reading.levle: found an unknown field; expected one of feature, "
            "characteristic, typed, level, direction, unit, gauge, master, polarity, clamp_state, "
            "support, part_temperature, gauge_temperature, phase, note. "
            'Did you mean "level"?',
        ),
        (
            "reading",
            {"feature": "bore 2", "typed": "100.246"},
            "log.jsonl:41: reading.characteristic: found nothing; "
            'expected what was measured, such as "bore diameter".',
        ),
        (
            "reading",
            {**READING, "phase": "fuond"},
            'log.jsonl:41: reading.phase: found "fuond"; expected one of "found", "left", '
            '"mock-up", "new part". Did you mean "found"?',
        ),
        (
            "reading",
            {**READING, "note": None},
            "log.jsonl:41: reading.note: found null; expected text.",
        ),
        (
            "reading",
            {**READING, "note": True},
            "log.jsonl:41: reading.note: found true; expected text.",
        ),
        (
            "reading",
            [],
            "log.jsonl:41: reading: found a list of 0; expected an object of named fields.",
        ),
        (
            "raeding",
            READING,
            'log.jsonl:41: kind: found "raeding"; expected one of reading, observation, work, '
            'part, choice, approval, check, correction, intake. Did you mean "reading"?',
        ),
        (
            "observation",
            {"feature": "head", "what": "crack", "photos": [{"sha256": "ab", "name": "a.jpg"}]},
            'log.jsonl:41: observation.photos[1].sha256: found "ab"; expected 64 digits 0-9, a-f.',
        ),
        (
            "work",
            {"operation": "hone", "features": []},
            "log.jsonl:41: work.features: found nothing; expected features worked on.",
        ),
        (
            "work",
            {"operation": "hone", "features": "bore 2"},
            'log.jsonl:41: work.features: found "bore 2"; expected a list.',
        ),
        (
            "work",
            {
                "operation": "hone",
                "features": ["bore 1", "bore 2"],
                "results": [{"characteristic": "bore diameter", "typed": "100.51"}],
            },
            "log.jsonl:41: work.results[1].feature: found nothing; "
            "expected which of bore 1, bore 2 was measured.",
        ),
        (
            "approval",
            {"what": "quote", "by_whom": "owner", "how": "phone", "currency": "euro"},
            'log.jsonl:41: approval.currency: found "euro"; '
            'expected three capital letters, such as "EUR".',
        ),
        (
            "correction",
            {"of": "A" * 26, "action": "replace", "reason": "slip"},
            "log.jsonl:41: correction.body: found nothing; "
            "expected the fields to replace, with what they should say.",
        ),
        (
            "correction",
            {"of": "A" * 26, "action": "withdraw", "reason": "slip", "body": {"typed": "1"}},
            'log.jsonl:41: correction.body: found fields beside "withdraw"; '
            'expected fields only with the action "replace".',
        ),
        (
            "correction",
            {"of": "A" * 26, "action": "replace", "reason": "slip", "body": {"typed": 5}},
            "log.jsonl:41: correction.body.typed: found 5 (a number); "
            "expected text, a list of texts, or a list of objects of texts.",
        ),
    ],
)
def test_each_mistake_has_its_sentence(kind: str, body: object, said: str) -> None:
    assert words(kind, body) == [said]


def test_all_mistakes_are_said_at_once() -> None:
    said = words("reading", {"feature": 2, "typed": "", "colour": "red"})
    assert [line.split(": found")[0] for line in said] == [
        "log.jsonl:41: reading.feature",
        "log.jsonl:41: reading.colour",
        "log.jsonl:41: reading.characteristic",
        "log.jsonl:41: reading.typed",
    ]


def test_a_very_long_text_is_refused_and_not_repeated_whole() -> None:
    (said,) = words("reading", {**READING, "note": "x" * 10_001})
    assert "(10001 characters)" in said
    assert len(said) < 200


def test_a_draft_says_who() -> None:
    made, faults = draft("reading", "  ", READING)
    assert made is None
    assert [str(fault) for fault in faults] == [
        "by: found nothing; expected the person who enters it."
    ]


def test_a_draft_with_half_a_surrogate_pair_is_refused() -> None:
    made, faults = draft("reading", "Ines", {**READING, "note": "\ud800"})
    assert made is None
    assert "surrogate" in faults[0].found


def test_what_is_not_said_is_not_written() -> None:
    photo = Photo(sha256="0" * 64, name="a.jpg")
    assert body_as_dict(photo) == {"sha256": "0" * 64, "name": "a.jpg"}
    body, _ = read_body("reading", {**READING, "note": "", "level": ""}, HERE)
    assert body is not None
    assert body_as_dict(body) == READING
    work = Work(operation="hone", features=("bore 1",))
    assert body_as_dict(work) == {"operation": "hone", "features": ["bore 1"]}


TEXTS = st.text(st.characters(codec="utf-8"), max_size=8)
FIELDS = st.dictionaries(
    TEXTS,
    st.one_of(
        TEXTS,
        st.lists(TEXTS, max_size=3),
        st.lists(st.dictionaries(TEXTS, TEXTS, min_size=1, max_size=3), min_size=1, max_size=3),
    ),
    max_size=4,
)


@given(FIELDS)
def test_freezing_loses_nothing(fields: dict[str, object]) -> None:
    frozen = freeze(fields)
    hash(frozen)
    assert thaw(frozen) == fields  # type: ignore[arg-type]


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda part: (
        st.lists(part, max_size=3)
        | st.dictionaries(
            st.sampled_from(["typed", "results", "photos", "body", "of", "features", "x"]),
            part,
            max_size=4,
        )
    ),
    max_leaves=12,
)


@given(st.sampled_from([*KINDS, "nothing"]), JSON)
def test_no_json_breaks_the_border(kind: str, body: object) -> None:
    read, faults = read_body(kind, body, HERE)
    assert (read is None) == bool(faults)
    for fault in faults:
        assert fault.found
        assert fault.expected


@given(st.data())
def test_what_is_read_is_written_the_same(data: st.DataObject) -> None:
    body = data.draw(st.sampled_from(BODIES))
    read, faults = read_body(body[0], body[1], HERE)
    assert faults == ()
    assert read is not None
    assert body_as_dict(read) == body[1]


MEASURED = {"feature": "bore 1", "characteristic": "bore diameter", "typed": "100.51"}
BODIES: list[tuple[str, dict[str, object]]] = [
    ("reading", {**READING, "polarity": "plus is smaller", "master": "ring 100", "phase": "left"}),
    (
        "observation",
        {"feature": "head", "what": "crack", "photos": [{"sha256": "0" * 64, "name": "a"}]},
    ),
    ("work", {"operation": "hone", "features": ["bore 1", "bore 2"], "results": [MEASURED]}),
    ("part", {"part": "piston", "sizes": [MEASURED], "for_feature": "piston 2"}),
    ("choice", {"what": "bores", "option": "+0.50", "plan": "f" * 64}),
    ("approval", {"what": "q", "by_whom": "o", "how": "phone", "declined": ["balance"]}),
    ("check", {"step": "main caps 3", "result": "95 N·m"}),
    (
        "correction",
        {"of": "A" * 26, "action": "replace", "reason": "r", "body": {"results": [MEASURED]}},
    ),
    ("intake", {"engine": "six-cylinder diesel", "plates": ["A 1", "A 2"]}),
]
