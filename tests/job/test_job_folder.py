"""The job folder and its pictures."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from log_makers import chain, drafted

from sparkout.job.folder import JobFolder, check_photos, make_folder, open_folder, store_photo


@pytest.fixture
def folder(tmp_path: Path) -> JobFolder:
    made, faults = make_folder(tmp_path / "job", b"name: trial\n", b"gauges: []\n")
    assert made is not None
    assert faults == ()
    return made


def test_a_new_folder_has_everything(folder: JobFolder) -> None:
    assert open_folder(folder.path) == (folder, ())
    assert sorted(path.name for path in folder.path.iterdir()) == [
        "engine.yaml",
        "log.jsonl",
        "out",
        "photos",
        "shop.yaml",
    ]
    assert folder.sheet.read_bytes() == b"name: trial\n"
    assert folder.shop.read_bytes() == b"gauges: []\n"
    assert folder.log.read_bytes() == b""


def test_a_job_is_never_written_over(folder: JobFolder) -> None:
    made, faults = make_folder(folder.path, b"", b"")
    assert made is None
    assert "a folder with something in it" in str(faults[0])
    made, faults = make_folder(folder.sheet, b"", b"")
    assert made is None
    assert folder.sheet.read_bytes() == b"name: trial\n"


def test_what_is_missing_is_said(folder: JobFolder, tmp_path: Path) -> None:
    assert open_folder(tmp_path / "nowhere")[0] is None
    folder.log.unlink()
    opened, faults = open_folder(folder.path)
    assert opened == folder
    assert [fault.stops for fault in faults] == [False]
    folder.sheet.unlink()
    folder.shop.unlink()
    opened, faults = open_folder(folder.path)
    assert opened is None
    assert [fault.expected for fault in faults] == ["the data sheet", "the shop file"]


def test_torn_lines_are_listed_in_order(folder: JobFolder) -> None:
    for name in ("log.jsonl.torn-10", "log.jsonl.torn-2", "log.jsonl.torn-x", "log.jsonl.torn-"):
        (folder.path / name).touch()
    assert [path.name for path in folder.torn] == ["log.jsonl.torn-2", "log.jsonl.torn-10"]


def test_a_picture_is_kept_under_its_hash(folder: JobFolder) -> None:
    photo = store_photo(folder, b"picture", "from the phone/bore 2.jpg")
    assert photo.sha256 == hashlib.sha256(b"picture").hexdigest()
    assert photo.name == "bore 2.jpg"
    assert store_photo(folder, b"picture", "again.jpg").sha256 == photo.sha256
    assert [path.name for path in folder.photos.iterdir()] == [photo.sha256]


def test_missing_and_changed_pictures_are_found(folder: JobFolder) -> None:
    kept, changed, lost = (
        store_photo(folder, content, "a.jpg") for content in (b"one", b"two", b"three")
    )
    (folder.photos / changed.sha256).write_bytes(b"other")
    (folder.photos / lost.sha256).unlink()
    drafts = [
        drafted(
            "observation",
            feature="head",
            what="crack",
            photos=[{"sha256": photo.sha256, "name": photo.name}],
        )
        for photo in (kept, changed, lost, kept)
    ]
    found = check_photos(folder, chain("bench", [*drafts, drafted()]))
    assert [fault.found for fault in found] == ["a picture that was changed", "no such file"]
    assert 'a.jpg" of entry BENCH' in str(found[0])
