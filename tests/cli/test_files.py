"""Files appear whole or not at all; nothing that exists is overwritten unasked."""

import io
import os
import sys

import pytest

from cli.files import print_result, print_utf8, require_targets, write_whole
from loadhistories.validation import InputError


def test_files_are_written_together_and_leave_nothing_beside_them(tmp_path):
    write_whole({tmp_path / "a.json": b"{}", str(tmp_path / "b.html"): b"<p>"}, force=False)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a.json": b"{}", "b.html": b"<p>"}


def test_an_existing_file_stays_as_it_is_without_force(tmp_path):
    (tmp_path / "a.json").write_text("old")
    with pytest.raises(InputError, match=r"a\.json exists already; use --force to overwrite it"):
        write_whole({tmp_path / "b.html": b"new", tmp_path / "a.json": b"new"}, force=False)
    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == {"a.json": "old"}


def test_force_overwrites_an_existing_file(tmp_path):
    (tmp_path / "a.json").write_text("old")
    write_whole({tmp_path / "a.json": b"new"}, force=True)
    assert (tmp_path / "a.json").read_text() == "new"


def test_a_link_keeps_pointing_at_the_file_that_is_overwritten(tmp_path):
    (tmp_path / "real.json").write_text("old")
    (tmp_path / "link.json").symlink_to("real.json")
    write_whole({tmp_path / "link.json": b"new"}, force=True)
    assert (tmp_path / "link.json").is_symlink()
    assert (tmp_path / "real.json").read_text() == "new"


def test_when_one_file_cannot_be_written_none_appears(tmp_path, monkeypatch):
    replace = os.replace

    def full(part, target):
        if target.name == "b.html":
            raise OSError(28, "No space left on device")
        replace(part, target)

    long_name = "n" * 250 + ".html"
    with pytest.raises(InputError, match=r"cannot be written: File name too long"):
        write_whole({tmp_path / "a.json": b"1", tmp_path / long_name: b"2"}, force=False)
    assert list(tmp_path.iterdir()) == []
    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(InputError, match=r"cannot be written: No space left on device"):
        write_whole({tmp_path / "b.html": b"2"}, force=True)
    assert list(tmp_path.iterdir()) == []


def test_of_two_runs_on_one_output_the_second_is_told_and_the_first_stays(tmp_path, monkeypatch):
    target = tmp_path / "a.json"
    link = os.link

    def other_was_first(part, where):
        target.write_bytes(b"first")
        link(part, where)

    monkeypatch.setattr(os, "link", other_was_first)
    with pytest.raises(InputError, match=r"a\.json was written by another run meanwhile; use --force"):
        write_whole({target: b"second"}, force=False)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a.json": b"first"}


def test_where_the_disk_knows_no_second_names_the_file_appears_all_the_same(tmp_path, monkeypatch):
    def refused(part, where):
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(os, "link", refused)
    write_whole({tmp_path / "a.json": b"1"}, force=False)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a.json": b"1"}


def test_every_target_that_cannot_be_written_is_named_at_once(tmp_path):
    (tmp_path / "old.json").write_text("old")
    with pytest.raises(InputError) as refusal:
        require_targets(
            [tmp_path / "old.json", tmp_path, tmp_path / "no" / "a.json", tmp_path / "a", tmp_path / "a", "-"],
            force=False,
        )
    text = "\n".join(refusal.value.problems)
    assert len(refusal.value.problems) == 4
    with pytest.raises(InputError, match="cannot be written: File name too long"):
        require_targets([tmp_path / ("n" * 400)], force=False)
    for words in ("exists already", "is a folder", "there is no folder", "is asked for twice"):
        assert words in text


def test_an_input_is_never_overwritten_not_even_with_force(tmp_path):
    job = tmp_path / "job.toml"
    job.write_text("title = 1")
    with pytest.raises(InputError, match=r"job\.toml is one of the inputs"):
        require_targets([job], force=True, inputs=[job])


def test_a_device_is_never_replaced_by_a_file():
    with pytest.raises(InputError, match=r"/dev/null is no ordinary file"):
        require_targets(["/dev/null"], force=True)


def test_what_the_terminal_cannot_show_is_replaced_and_json_stays_utf8(monkeypatch):
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    print_result("Δσ = 71 MPa\n")
    print_utf8("Δσ\n")
    assert raw.getvalue() == b"?? = 71 MPa\n" + "Δσ\n".encode()
