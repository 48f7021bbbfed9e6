"""A job as one file: the same bytes everywhere, and nothing taken in that is not right."""

from __future__ import annotations

import hashlib
import io
import json
import os
import zipfile
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from log_makers import START, as_bytes, chain, readings

from sparkout.job.aside import set_aside
from sparkout.job.folder import JobFolder, make_folder, store_photo
from sparkout.job.packing import pack, unpack
from sparkout.job.reader import read_log
from sparkout.job.transfer import bring_in, export_job, import_job

BENCH = chain("bench", readings("1", "2", "3"))
TABLET = chain("tablet", readings("4", "5"), start=START + timedelta(seconds=30))
MEMBERS = {"engine.yaml": b"e", "shop.yaml": b"s", "log.jsonl": as_bytes(BENCH)}


def job(path: Path, log: bytes = as_bytes(BENCH)) -> JobFolder:
    folder, _ = make_folder(path, b"name: trial\n", b"gauges: []\n")
    assert folder is not None
    folder.log.write_bytes(log)
    return folder


def exported(folder: JobFolder, name: str) -> Path:
    path, faults = export_job(folder, folder.path.parent / name)
    assert path is not None
    assert faults == ()
    return path


def test_a_job_goes_out_and_comes_in_the_same(tmp_path: Path) -> None:
    here = job(tmp_path / "here")
    photo = store_photo(here, b"picture", "a.jpg")
    (here.path / "log.jsonl.torn-1").write_bytes(b'{"at')
    (here.out / "record.pdf").write_bytes(b"computed")
    (here.photos / "thumbs.db").write_bytes(b"rubbish")
    file = exported(here, "a.job")
    there, faults = import_job(file, tmp_path / "there" / "deep")
    assert there is not None
    assert faults == ()
    found = {
        str(path.relative_to(there.path)): path.read_bytes()
        for path in there.path.rglob("*")
        if path.is_file()
    }
    assert found == {
        "engine.yaml": b"name: trial\n",
        "shop.yaml": b"gauges: []\n",
        "log.jsonl": as_bytes(BENCH),
        "log.jsonl.torn-1": b'{"at',
        f"photos/{photo.sha256}": b"picture",
    }
    assert there.out.is_dir()
    assert exported(there, "again.job").read_bytes() == file.read_bytes()
    assert sorted(os.listdir(tmp_path / "there")) == ["again.job", "deep"]


def test_the_same_entries_in_another_order_give_the_same_file(tmp_path: Path) -> None:
    one = job(tmp_path / "one", as_bytes(BENCH + TABLET))
    two = job(tmp_path / "two", as_bytes(TABLET + BENCH))
    os.utime(two.sheet, (1, 1))
    two.sheet.chmod(0o600)
    assert exported(one, "1.job").read_bytes() == exported(two, "2.job").read_bytes()


def test_the_file_is_a_plain_archive(tmp_path: Path) -> None:
    file = exported(job(tmp_path / "here"), "a.job")
    with zipfile.ZipFile(file) as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        assert names == ["contents.json", "engine.yaml", "log.jsonl", "shop.yaml"]
        listed = json.loads(archive.read("contents.json"))
        assert listed["files"] == {
            name: hashlib.sha256(archive.read(name)).hexdigest() for name in names[1:]
        }


def test_a_damaged_log_goes_out_as_it_stands_with_warnings(tmp_path: Path) -> None:
    damaged = as_bytes(BENCH).replace(b'"2"', b'"8"')
    here = job(tmp_path / "here", damaged)
    changed = store_photo(here, b"picture", "a.jpg")
    (here.photos / changed.sha256).write_bytes(b"other")
    path, faults = export_job(here, tmp_path / "a.job")
    assert path is not None
    assert [fault.stops for fault in faults] == [False, False]
    there, _ = import_job(path, tmp_path / "there")
    assert there is not None
    assert there.log.read_bytes() == damaged
    assert list(there.photos.iterdir()) == []


def test_nothing_is_written_over(tmp_path: Path) -> None:
    here = job(tmp_path / "here")
    file = exported(here, "a.job")
    before = file.read_bytes()
    assert export_job(here, file)[0] is None
    assert file.read_bytes() == before
    imported, faults = import_job(file, here.path)
    assert imported is None
    assert "bring it in" in str(faults[0])
    here.shop.unlink()
    path, faults = export_job(here, tmp_path / "b.job")
    assert path is None
    assert "shop.yaml: found no such file" in str(faults[0])


def test_an_empty_folder_is_filled(tmp_path: Path) -> None:
    file = exported(job(tmp_path / "here"), "a.job")
    (tmp_path / "there").mkdir()
    there, _ = import_job(file, tmp_path / "there")
    assert there is not None
    assert read_log(there.log)[0] == BENCH


def test_a_disk_that_fills_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = exported(job(tmp_path / "here"), "a.job")
    calls = iter(range(100))
    fsync = os.fsync

    def fails(fd: int) -> None:
        if next(calls) > 4:
            raise OSError(28, "No space left on device")
        fsync(fd)

    monkeypatch.setattr(os, "fsync", fails)
    with pytest.raises(OSError, match="No space left"):
        import_job(file, tmp_path / "there")
    assert sorted(os.listdir(tmp_path)) == ["a.job", "here"]


def test_a_job_file_is_brought_in(tmp_path: Path) -> None:
    here, there = job(tmp_path / "here"), job(tmp_path / "there", as_bytes(BENCH[:2] + TABLET))
    photo = store_photo(there, b"picture", "a.jpg")
    file = exported(there, "b.job")
    assert bring_in(file, here) == (2, ())
    assert bring_in(file, here) == (0, ())
    assert sorted(entry.id for entry in read_log(here.log)[0]) == sorted(
        entry.id for entry in BENCH + TABLET
    )
    assert (here.photos / photo.sha256).read_bytes() == b"picture"


def test_a_job_that_contradicts_is_not_brought_in(tmp_path: Path) -> None:
    here = job(tmp_path / "here")
    other = chain("bench", readings("1", "2.5"))
    file = exported(job(tmp_path / "there", as_bytes(other)), "b.job")
    count, faults = bring_in(file, here)
    assert count is None
    assert any("two entries with this number" in fault.found for fault in faults)
    assert here.log.read_bytes() == as_bytes(BENCH)


def test_another_engine_is_not_brought_in(tmp_path: Path) -> None:
    here, there = job(tmp_path / "here"), job(tmp_path / "there")
    there.sheet.write_bytes(b"name: other\n")
    count, faults = bring_in(exported(there, "b.job"), here)
    assert count is None
    assert "another data sheet" in str(faults[0])


def archive(change: Callable[[zipfile.ZipFile], None], *, without: str = "") -> bytes:
    """The archive of a sound job with something added to it."""
    out = io.BytesIO(pack(MEMBERS))
    if without:
        rest = io.BytesIO()
        with zipfile.ZipFile(out) as old, zipfile.ZipFile(rest, "w") as new:
            for info in old.infolist():
                if info.filename != without:
                    new.writestr(info, old.read(info))
        out = rest
    with zipfile.ZipFile(out, "a") as target:
        change(target)
    return out.getvalue()


def link(target: zipfile.ZipFile) -> None:
    info = zipfile.ZipInfo("photos/" + "0" * 64)
    info.external_attr = 0o120777 << 16
    target.writestr(info, "/etc/passwd")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "a file that cannot be unpacked"),
        (b"PK\x05\x06", "a file that cannot be unpacked"),
        (archive(lambda z: z.writestr("../evil", "x")), '"../evil": found a name that does not'),
        (archive(lambda z: z.writestr("/etc/passwd", "x")), '"/etc/passwd": found a name'),
        (archive(lambda z: z.writestr("photos/../../x", "x")), "found a name that does not"),
        (archive(lambda z: z.writestr("photos\\x", "x")), "found a name that does not"),
        (archive(lambda z: z.writestr("out/record.pdf", "x")), "found a name that does not"),
        (archive(link), "found a link or device"),
        (archive(lambda z: None, without="shop.yaml"), "found no shop.yaml"),
        (archive(lambda z: None, without="contents.json"), "found no contents.json"),
        (
            archive(lambda z: z.writestr("photos/" + "0" * 64, "x")),
            "found other content than listed",
        ),
        (
            archive(lambda z: z.writestr("contents.json", "[]"), without="contents.json"),
            "found a list of contents that cannot be read",
        ),
        (
            archive(
                lambda z: z.writestr("contents.json", '{"form": 2, "files": {}}'),
                without="contents.json",
            ),
            "found form 2 (a number); expected form 1",
        ),
        (
            archive(
                lambda z: z.writestr("log.jsonl", b"0" * 10_000_000, zipfile.ZIP_DEFLATED),
                without="log.jsonl",
            ),
            "bytes that unpack to 10000000; expected at most 200 times as many",
        ),
        (
            archive(
                lambda z: z.writestr("log.jsonl", b"0" * 100, zipfile.ZIP_BZIP2),
                without="log.jsonl",
            ),
            "found compression 12; expected none, or deflate",
        ),
    ],
)
def test_what_is_not_taken_in(tmp_path: Path, data: bytes, said: str) -> None:
    file = tmp_path / "a.job"
    file.write_bytes(data)
    folder, faults = import_job(file, tmp_path / "there")
    assert folder is None
    assert said in " | ".join(str(fault) for fault in faults)
    assert os.listdir(tmp_path) == ["a.job"]


def test_a_name_twice_is_refused() -> None:
    with pytest.warns(UserWarning, match="Duplicate name"):
        data = archive(lambda z: z.writestr("log.jsonl", "x"))
    members, faults = unpack(data, "a.job")
    assert members is None
    assert "found the name twice" in str(faults[0])


def test_an_encrypted_member_is_refused() -> None:
    data = bytearray(pack(MEMBERS))
    at = data.index(b"PK\x01\x02")
    data[at + 8] |= 1  # general purpose bit 0 in the central directory (APPNOTE 4.4.4)
    assert "an encrypted member" in str(unpack(bytes(data))[1])


def test_too_much_is_refused() -> None:
    members, faults = unpack(pack(MEMBERS), largest=100)
    assert members is None
    assert "bytes when unpacked; expected at most 100" in str(faults[0])
    many = archive(lambda z: [z.writestr(f"{n}", "") for n in range(20_001)])  # type: ignore[arg-type, return-value]
    members, faults = unpack(many)
    assert members is None
    assert [fault.expected for fault in faults] == ["at most 20000"]


def test_a_picture_under_a_wrong_name_is_refused() -> None:
    data = pack({**MEMBERS, "photos/" + "0" * 64: b"picture"})
    assert "a picture under a wrong name" in str(unpack(data)[1])


def test_only_members_of_a_job_are_packed() -> None:
    with pytest.raises(ValueError, match="evil does not belong"):
        pack({"../evil": b""})


@settings(max_examples=300)
@given(st.data())
def test_no_damage_breaks_the_reader_of_job_files(data: st.DataObject) -> None:
    file = bytearray(pack(MEMBERS))
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(file) - 1))
        file[at : at + data.draw(st.integers(0, 9))] = data.draw(st.binary(max_size=9))
    members, faults = unpack(bytes(file))
    assert (members is None) == bool(faults)
    assert members in (None, MEMBERS)


def test_torn_lines_travel_with_the_job(tmp_path: Path) -> None:
    here = job(tmp_path / "here", as_bytes(BENCH) + b'{"at"')
    set_aside(here.log)
    there, _ = import_job(exported(here, "a.job"), tmp_path / "there")
    assert there is not None
    assert [path.read_bytes() for path in there.torn] == [b'{"at"']
