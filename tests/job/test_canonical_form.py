"""The canonical form and the ids against published examples."""

from __future__ import annotations

import hashlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from log_makers import chain, drafted

from sparkout.job.canonical import canonical, digest, with_hash
from sparkout.job.ids import ulid


def test_text_is_escaped_as_rfc_8785_does() -> None:
    # RFC 8785, 3.2.2, sample input and output (the member "string" and the literals), read in
    # public implementations' tests that quote the RFC.
    found = json.loads(
        r'{"string": "\u20ac$\u000F\u000aA\u0027\u0042\u0022\u005c\\\"\/",'
        r' "literals": [null, true, false]}'
    )
    expected = r"""{"literals":[null,true,false],"string":"€$\u000f\nA'B\"\\\\\"/"}"""
    assert canonical(found) == expected


def test_digest_is_sha_256() -> None:
    # FIPS 180-4 example "abc" (NIST, SHA256.pdf), recalled from memory and recomputed.
    expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert digest("abc") == expected


def test_digest_refuses_half_a_surrogate_pair() -> None:
    with pytest.raises(UnicodeEncodeError):
        digest("\ud800")


def test_ulid_of_the_specification() -> None:
    # ulid/spec, README: ulid(1469918176385) gives 01ARYZ6S41 and 16 random characters; the
    # example 01ARYZ6S41TSV4RRFFQ69G5FAV, read in public ports of the specification.
    digits = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
    random = 0
    for letter in "TSV4RRFFQ69G5FAV":
        random = random << 5 | digits.index(letter)
    assert ulid(1469918176385, random.to_bytes(10, "big")) == "01ARYZ6S41TSV4RRFFQ69G5FAV"


@pytest.mark.parametrize(("time", "random"), [(-1, b"0" * 10), (1 << 48, b"0" * 10), (0, b"123")])
def test_ulid_refuses_what_does_not_fit(time: int, random: bytes) -> None:
    with pytest.raises(ValueError, match="a ULID holds"):
        ulid(time, random)


@given(
    st.integers(0, (1 << 48) - 1),
    st.integers(0, (1 << 48) - 1),
    st.binary(min_size=10, max_size=10),
)
def test_ulids_sort_by_time(one: int, other: int, random: bytes) -> None:
    assert (ulid(one, random) < ulid(other, random)) == (one < other)


@given(st.text(max_size=60).filter(lambda text: text.strip() and text.isprintable()))
def test_the_stored_line_is_the_canonical_form_with_the_hash_in_its_place(note: str) -> None:
    made = drafted(
        feature="bore 1", characteristic="bore diameter", typed="1", note=f'"id":"{note}"'
    )
    (entry,) = chain("bench", [made])
    # Written out with the standard library alone.
    found = json.loads(entry.line)
    content = {name: value for name, value in found.items() if name != "hash"}
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert found["hash"] == hashlib.sha256(text.encode()).hexdigest()
    assert entry.line == json.dumps(
        found, sort_keys=True, separators=(",", ":"), ensure_ascii=False
    )
    assert with_hash(entry.text, entry.hash) == entry.line
