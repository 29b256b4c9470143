"""Files: all of them, whole or not at all, under names that any system takes."""

import json
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from nesting.output.paper.tiling import Paper
from nesting.output.place import MANIFEST, Place, require_replaceable
from nesting.output.write import (
    distinct_names,
    file_name,
    plan_files,
    write_draft,
    write_plan,
)
from nesting.output.written import prepare_folder, write_files
from pieces.errors import OutputFault
from pieces.piece import Draft, Sewing, Stage, Step
from pieces.units import Unit
from tests.nesting.output.sample_plan import sample_plan, two_pieces


def test_writes_everything_and_names_it(tmp_path):
    folder = tmp_path / "new" / "plan"
    written = write_plan(sample_plan(), folder)
    names = {path.name for path in written}
    assert names == {"plan.json", "report.txt", "shopping.txt"} | {
        f"{cloth}.{kind}"
        for cloth in ("red-satin", "white-tulle")
        for kind in ("png", "dxf", "svg", "pdf")
    }
    assert {path.name for path in folder.iterdir()} == names
    data = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    for fabric in data["fabrics"]:
        for kind, name in fabric["files"].items():
            assert name.endswith(f".{kind}")
            assert (folder / name).stat().st_size > 1000
    assert (folder / "report.txt").read_text(encoding="utf-8").startswith("Cutting plan:")


@pytest.mark.long
def test_sewing_notes_are_written_as_text_and_to_print(tmp_path):
    waist = Step(stage=Stage.WAIST, what="waist of skirt", to="waist", this_mm=500.0, that_mm=500.0)
    plan = replace(sample_plan(), sewing=(Sewing("Dora", (waist,)),))
    names = {path.name for path in write_plan(plan, tmp_path)}
    assert {"notes.txt", "notes.pdf"} <= names
    told = (tmp_path / "notes.txt").read_text(encoding="utf-8")
    assert told.startswith("Sewing notes: Dora")
    assert "Sew the waist of skirt to the waist seam: 50 cm." in told
    assert (tmp_path / "notes.pdf").read_bytes().startswith(b"%PDF")


def test_writes_a_draft(tmp_path):
    plan = sample_plan()
    written = write_draft("sisters", Draft(plan.pieces, plan.seam_checks), Unit.CM, tmp_path)
    names = [path.name for path in written]
    garments = sorted({piece.garment for piece in plan.pieces})
    assert len(garments) > 1
    interchange = [f"pieces-interchange-{garment.lower()}.dxf" for garment in garments]
    assert sorted(names) == sorted(
        ["pieces.txt", "pieces.dxf", *interchange, "pieces-1.png", "pieces-2.png"]
    )
    own = [piece for piece in plan.pieces if piece.garment == garments[0]][:3]
    few = write_draft("sisters", Draft(tuple(own)), Unit.CM, tmp_path / "few")
    assert [path.name for path in few] == [
        "pieces.txt",
        "pieces.dxf",
        "pieces-interchange.dxf",
        "pieces.png",
    ]


def test_two_cloths_of_one_file_name_keep_apart(tmp_path):
    plan = two_pieces()
    (entry,) = plan.fabrics
    other = replace(entry, fabric=replace(entry.fabric, name="Red, satin"))
    written = write_plan(replace(plan, fabrics=(entry, other)), tmp_path)
    names = [path.name for path in written]
    assert {"red-satin.png", "red-satin-2.png"} <= set(names)
    assert len(set(names)) == len(names) == 11


@pytest.mark.parametrize(
    "names",
    [
        ("lawn", "lawn a4"),
        ("lawn a4", "lawn"),
        ("pieces", "lace"),
        ("pieces", "cloth pieces"),
        ("Pieces 1", "pieces, 1"),
        ("compare", "fullness"),
        ("bolts", "report"),
    ],
)
def test_no_layout_at_true_size_takes_the_name_of_another_file(names):
    (entry,) = two_pieces().fabrics
    entries = [replace(entry, fabric=replace(entry.fabric, name=name)) for name in names]
    plan = replace(two_pieces(), fabrics=tuple(entries))
    named = [name for own in plan_files(plan, Paper.A4).values() for name in own.values()]
    assert len({*named, "pieces-a4.pdf"}) == 2 * 5 + 1
    # Nor that of what other commands write for the same order, into the same folder.
    others = ("pieces.", "pieces-", "compare.", "fullness.", "bolts.", "plan.", "report.")
    assert not [name for name in named if name.startswith(others)]


def test_replaces_what_was_there_before(tmp_path):
    (tmp_path / "report.txt").write_text("old")
    (tmp_path / "mine.txt").write_text("kept")
    write_plan(two_pieces(), tmp_path)
    assert "red satin" in (tmp_path / "report.txt").read_text()
    assert (tmp_path / "mine.txt").read_text() == "kept"


def _fails_after(calls, real, error):
    """A stand-in that works so many times and fails from then on."""
    count = iter(range(10_000))

    def stand_in(*args, **kwargs):
        if next(count) >= calls:
            raise error
        return real(*args, **kwargs)

    return stand_in


def test_a_full_disk_leaves_no_file_behind(tmp_path, monkeypatch):
    full = OSError(28, "No space left on device")
    monkeypatch.setattr(os, "fdopen", _fails_after(3, os.fdopen, full))
    with pytest.raises(OutputFault) as caught:
        write_plan(two_pieces(), tmp_path)
    assert list(tmp_path.iterdir()) == []
    (fault,) = caught.value.faults
    assert "no space left on device" in fault.message
    assert str(tmp_path) in fault.where
    assert fault.remedy


def test_a_failed_rename_leaves_whole_files_only(tmp_path, monkeypatch):
    denied = PermissionError(13, "Permission denied")
    monkeypatch.setattr(Path, "replace", _fails_after(1, Path.replace, denied))
    with pytest.raises(OutputFault):
        write_plan(two_pieces(), tmp_path)
    (left,) = tmp_path.iterdir()
    assert json.loads(left.read_text())["order"]


def test_a_failed_drawing_writes_nothing(tmp_path, monkeypatch):
    import nesting.output.files.dxf

    def broken(entry):
        raise RuntimeError("broken")

    monkeypatch.setattr(nesting.output.files.dxf, "marker_dxf", broken)
    with pytest.raises(RuntimeError):
        write_plan(two_pieces(), tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_file_in_the_way_of_the_folder_is_one_clear_fault(tmp_path):
    (tmp_path / "plan").write_text("a file")
    for folder in (tmp_path / "plan", tmp_path / "plan" / "deeper"):
        with pytest.raises(OutputFault) as caught:
            prepare_folder(folder)
        (fault,) = caught.value.faults
        assert "a file is in the way of the folder" in fault.message
        assert "--out" in fault.remedy
        assert caught.value.exit_status == 2


def test_a_folder_in_the_way_of_a_file_is_one_clear_fault(tmp_path):
    (tmp_path / "red-satin.png").mkdir()
    with pytest.raises(OutputFault) as caught:
        write_plan(two_pieces(), tmp_path)
    (fault,) = caught.value.faults
    assert fault.where.endswith("red-satin.png")
    assert "a folder is in the way of the file" in fault.message
    assert [path.name for path in tmp_path.iterdir()] == ["red-satin.png"]


@given(st.text(max_size=200))
@example("\U00010400" * 80)
def test_any_name_makes_a_safe_file_name(name):
    safe = file_name(name)
    assert re.fullmatch(r"\w[\w-]*", safe)
    assert len(f"pieces-interchange-{safe}-99-letter.pdf".encode()) < 255
    assert safe == safe.casefold()


@given(st.lists(st.text(max_size=12), unique=True))
def test_file_names_are_distinct(names):
    found = distinct_names(names, ("plan",))
    assert set(found) == set(names)
    assert len({*found.values(), "plan"}) == len(names) + 1


def test_names_of_devices_are_avoided():
    assert file_name("CON") == "con-cloth"
    assert file_name("nul.") == "nul-cloth"


def test_writers_load_no_heavy_package_before_they_write():
    code = (
        "import sys, nesting.output.write, nesting.output.report.report, "
        "nesting.output.drawing.drawing, "
        "nesting.output.files.dxf, nesting.output.drawing.piece_sheet, nesting.fabric.cautions; "
        "print(sorted({'matplotlib', 'ezdxf', 'shapely'} & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def _dies_after(calls, real):
    """A stand-in that works so many times, and then ends the process as a kill does."""
    count = iter(range(10_000))
    return lambda *given, **more: real(*given, **more) if next(count) < calls else os._exit(9)


@pytest.mark.skipif(sys.platform == "win32", reason="forks")
def test_killed_at_any_moment_all_files_are_whole_and_known_again(tmp_path):
    """Between any two of them getting their names, the manifest included."""
    place = Place(tmp_path)
    names = [f"{n}.txt" for n in range(4)]
    for moment in range(2 * len(names)):
        write_files(place, dict.fromkeys(names, b"old"))
        if not (child := os.fork()):
            Path.replace = _dies_after(moment, Path.replace)
            write_files(place, dict.fromkeys(names, b"new"))
            os._exit(0)
        _, status = os.waitpid(child, 0)
        assert os.waitstatus_to_exitcode(status) == (9 if moment < len(names) + 2 else 0)
        contents = [(tmp_path / name).read_bytes() for name in names]
        renamed = min(max(moment - 1, 0), len(names))
        assert contents == [b"new"] * renamed + [b"old"] * (len(names) - renamed)
        require_replaceable(place, names)


def test_a_place_is_left_as_it_is_if_one_file_of_many_may_not_go(tmp_path):
    (tmp_path / "report.txt").write_text("mine")
    with pytest.raises(OutputFault, match=r"report\.txt would be replaced"):
        write_plan(two_pieces(), Place(tmp_path))
    assert [path.name for path in tmp_path.iterdir()] == ["report.txt"]
    assert (tmp_path / "report.txt").read_text() == "mine"


def folder_after(place, *runs):
    """What lies in a place after files were written there together, run after run."""
    for contents in runs:
        write_files(place, {name: data.encode() for name, data in contents.items()})
    return {path.name: path.read_text() for path in place.folder.iterdir() if path.name != MANIFEST}


def test_what_went_with_a_file_that_is_replaced_goes_too(tmp_path):
    """A cloth that was bought is now cut from what is in hand: its drawing would mislead."""
    before = {"plan.json": "1", "report.txt": "1", "lawn.png": "1"}
    after = {"plan.json": "2", "report.txt": "2", "lawn-end.png": "2"}
    gone = []
    assert folder_after(Place(tmp_path, tell_gone=gone.extend), before, after) == after
    assert gone == ["lawn.png"]


def test_what_was_written_by_itself_stays(tmp_path):
    other = {"compare.txt": "c", "compare.png": "c"}
    before, after = {"plan.json": "1", "a.png": "1"}, {"plan.json": "2", "b.png": "2"}
    assert folder_after(Place(tmp_path), other, before, after) == other | after


def test_the_same_file_again_takes_nothing_away(tmp_path):
    plan, pieces = {"plan.json": "1", "pieces-a4.pdf": "p"}, {"pieces-a4.pdf": "p", "d.txt": "d"}
    assert folder_after(Place(tmp_path), plan, pieces) == plan | pieces


def test_what_somebody_changed_or_the_work_reads_stays(tmp_path):
    before = {"plan.json": "1", "mine.png": "1", "read.dxf": "1", "old.png": "1"}
    folder_after(Place(tmp_path), before)
    (tmp_path / "mine.png").write_text("with my notes")
    place = Place(tmp_path, inputs=(tmp_path / "read.dxf",))
    left = folder_after(place, {"plan.json": "2"})
    assert left == {"plan.json": "2", "mine.png": "with my notes", "read.dxf": "1"}


@pytest.mark.skipif(sys.platform == "win32", reason="forks")
def test_killed_before_it_is_cleared_up_the_next_time_does(tmp_path):
    before, after = {"plan.json": "1", "a.png": "1"}, {"plan.json": "2", "b.png": "2"}
    place = Place(tmp_path)
    folder_after(place, before)
    if not (child := os.fork()):
        Path.unlink = _dies_after(0, Path.unlink)
        folder_after(place, after)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9
    assert (tmp_path / "a.png").exists()
    assert folder_after(place, after) == after
