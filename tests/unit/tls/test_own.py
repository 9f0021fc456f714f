"""A clinic's own certificate is looked through at the start; each fault has its words."""

from datetime import timedelta
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric import rsa

from canalclock.tls.faults import BadFile, NotCovered, OutOfTime
from canalclock.tls.names import Reached
from canalclock.tls.own import checked, covers
from canalclock.tls.store import pem
from tests.unit.tls.clinics_own import a_certificate, a_key, brought, key_pem
from tests.unit.tls.machine import NOON

NAME = "clinic.example.org"


def test_one_that_fits_is_taken_with_the_names_it_holds(tmp_path: Path) -> None:
    own = checked(*brought(tmp_path, NAME, "x.example.org"), (NAME,), NOON)
    assert own.reached.names == (NAME, "x.example.org")


@pytest.mark.parametrize("which", [0, 1])
def test_a_file_that_is_not_there_is_named(tmp_path: Path, which: int) -> None:
    files = brought(tmp_path, NAME)
    files[which].unlink()
    with pytest.raises(BadFile, match="No such file") as refused:
        checked(*files, (), NOON)
    assert str(files[which]) in str(refused.value)


@pytest.mark.parametrize("which", [0, 1])
def test_a_folder_in_place_of_a_file_is_named(tmp_path: Path, which: int) -> None:
    files = brought(tmp_path, NAME)
    files[which].unlink()
    files[which].mkdir()
    with pytest.raises(BadFile, match="Is a directory"):
        checked(*files, (), NOON)


@pytest.mark.parametrize("content", [b"", b"\x00\xff", b"-----BEGIN CERTIFICATE-----\nAAAA\n",
                                     b"x" * 2_000_000])  # fmt: skip
@pytest.mark.parametrize("which", [0, 1])
def test_a_file_of_something_else_says_what_it_should_begin_with(
    tmp_path: Path, which: int, content: bytes
) -> None:
    files = brought(tmp_path, NAME)
    files[which].write_bytes(content)
    with pytest.raises(BadFile, match="expected") as refused:
        checked(*files, (), NOON)
    assert str(files[which]) in str(refused.value)


def test_the_two_files_changed_about_are_noticed(tmp_path: Path) -> None:
    chain, key = brought(tmp_path, NAME)
    with pytest.raises(BadFile, match="BEGIN CERTIFICATE"):
        checked(key, chain, (), NOON)


def test_the_key_of_another_certificate_is_noticed(tmp_path: Path) -> None:
    chain, key = brought(tmp_path, NAME)
    key.write_bytes(key_pem(a_key()))
    with pytest.raises(BadFile, match="key of another certificate"):
        checked(chain, key, (), NOON)


def test_a_key_with_a_password_is_not_asked_for_at_a_terminal(tmp_path: Path) -> None:
    secret = a_key()
    chain, key = brought(tmp_path, NAME)
    chain.write_bytes(pem(a_certificate(secret, NAME)))
    key.write_bytes(key_pem(secret, b"secret"))
    with pytest.raises(BadFile, match="key with a password"):
        checked(chain, key, (), NOON)


def test_a_key_that_browsers_find_too_short_is_noticed(tmp_path: Path) -> None:
    short = rsa.generate_private_key(65537, 1024)
    chain, key = brought(tmp_path, NAME)
    chain.write_bytes(pem(a_certificate(short, NAME)))
    key.write_bytes(key_pem(short))
    with pytest.raises(BadFile, match="1024 bits, expected at least 2048"):
        checked(chain, key, (), NOON)


@pytest.mark.parametrize(
    ("later", "found"), [(-365, "has not begun"), (365, "has ended"), (89.5, "has ended")]
)
def test_one_that_does_not_count_today_says_its_dates_and_the_clocks(
    tmp_path: Path, later: float, found: str
) -> None:
    now = NOON + timedelta(days=later)
    with pytest.raises(OutOfTime, match=found) as refused:
        checked(*brought(tmp_path, NAME), (), now)
    assert "from 2026-10-09 to 2027-01-07" in str(refused.value)
    assert f"clock says {now:%Y-%m-%d}" in str(refused.value)


def test_one_without_names_where_browsers_look_is_noticed(tmp_path: Path) -> None:
    with pytest.raises(NotCovered, match="browsers do not read the subject"):
        checked(*brought(tmp_path), (), NOON)


def test_one_for_another_name_says_what_it_holds(tmp_path: Path) -> None:
    with pytest.raises(NotCovered, match="does not cover clinic.local") as refused:  # noqa: RUF043
        checked(*brought(tmp_path, NAME), (NAME, "clinic.local"), NOON)
    assert f"is for {NAME}" in str(refused.value)


@pytest.mark.parametrize(
    ("name", "taken"),
    [
        ("a.example.org", True),
        ("example.org", False),
        ("b.a.example.org", False),
        ("clinic.local", True),
        ("192.168.1.20", True),
        ("192.168.1.2", False),
        ("org", False),
        ("", False),
    ],
)
def test_a_star_stands_for_one_label(name: str, taken: bool) -> None:
    held = Reached(names=("*.example.org", "clinic.local"), addresses=("192.168.1.20",))
    assert covers(held, name) is taken
