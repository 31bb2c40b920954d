from __future__ import annotations

import gzip
import hashlib
import os
import time
from pathlib import Path

import pytest

from ledger.errors import RefusedInput
from ledger.intake import snapshot
from ledger.intake.snapshot import take


def test_a_file_is_taken_whole_with_its_hash(tmp_path: Path) -> None:
    path = tmp_path / "given.csv"
    path.write_bytes(b"player,made\n")

    taken = take(path)

    assert taken.data == b"player,made\n"
    assert taken.sha256 == hashlib.sha256(b"player,made\n").hexdigest()
    assert (taken.size, taken.kind, taken.name) == (12, "plain", "given.csv")


def test_a_packed_file_keeps_the_hash_of_its_packed_bytes(tmp_path: Path) -> None:
    packed = gzip.compress(b"player,made\n", mtime=0)
    path = tmp_path / "given.csv.gz"
    path.write_bytes(packed)

    taken = take(path)

    assert taken.data == b"player,made\n"
    assert taken.sha256 == hashlib.sha256(packed).hexdigest()
    assert taken.kind == "gzip"


@pytest.mark.parametrize("name", ["a[1].csv", "a_*.csv", "-rf.csv", "{a,b}?.csv", "https:x.csv"])
def test_a_name_with_signs_opens_that_file_and_no_other(name: str, tmp_path: Path) -> None:
    (tmp_path / "a1.csv").write_bytes(b"other")
    (tmp_path / "a_2.csv").write_bytes(b"other")
    (tmp_path / name).write_bytes(b"this one")

    assert take(tmp_path / name).data == b"this one"


def test_a_name_that_acts_is_made_safe(tmp_path: Path) -> None:
    path = tmp_path / "\x1b[31mred.csv"
    path.write_bytes(b"x")

    assert take(path).name == "␛[31mred.csv"


@pytest.mark.parametrize("path", ["https://192.0.2.1/a.csv", "md:a", "mysql:a", "a\0b", ""])
def test_an_address_is_only_a_file_that_is_not_there(path: str) -> None:
    with pytest.raises(RefusedInput):
        take(path)


def test_a_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(RefusedInput, match="folder"):
        take(tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_a_named_pipe_is_refused_at_once(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    start = time.monotonic()

    with pytest.raises(RefusedInput, match="not a regular file"):
        take(tmp_path / "pipe.csv")

    assert time.monotonic() - start < 1


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="rights do not bind root"
)
def test_a_file_without_rights_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "given.csv"
    path.write_bytes(b"x")
    path.chmod(0)

    with pytest.raises(RefusedInput, match="permission"):
        take(path)


def test_a_file_above_the_cap_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "given.csv"
    with path.open("wb") as file:
        file.truncate(snapshot.MAX_BYTES + 1)
    start = time.monotonic()

    with pytest.raises(RefusedInput, match="512 MiB"):
        take(path)

    assert time.monotonic() - start < 1


def test_a_file_that_grows_while_it_is_read_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "given.csv"
    path.write_bytes(b"player,made\n")
    real = os.read

    def growing(descriptor: int, count: int) -> bytes:
        with path.open("ab") as file:
            file.write(b"more\n")
        return real(descriptor, count)

    monkeypatch.setattr(os, "read", growing)

    with pytest.raises(RefusedInput, match="changed while"):
        take(path)


def test_a_packed_file_of_one_small_league_is_no_bomb(tmp_path: Path) -> None:
    path = tmp_path / "given.csv.gz"
    path.write_bytes(gzip.compress(b"Halma League,2023-24,1\n" * 100_000))

    assert len(take(path).data) > snapshot.MAX_RATIO * path.stat().st_size


def test_packed_twice_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "given.csv.gz"
    path.write_bytes(gzip.compress(gzip.compress(b"player,made\n")))

    with pytest.raises(RefusedInput, match="twice"):
        take(path)
