"""The command for people without Python: files in, a NetCDF file and a map out."""

from __future__ import annotations

from pathlib import Path

import pytest
import xarray as xr
from click.testing import CliRunner

from gddcast.cli import main
from tests.grid.grids import planted


@pytest.fixture
def grid(tmp_path: Path) -> Path:
    """A file of minima and maxima."""
    planted(2).to_netcdf(tmp_path / "grid.nc")
    return tmp_path / "grid.nc"


def run(*words: object):
    """What the command says."""
    return CliRunner().invoke(main, ["grid", *map(str, words)])


def test_dates_and_a_map(grid: Path) -> None:
    """Both files stand, and the line says what is in them."""
    out, picture = grid.with_name("out.nc"), grid.with_name("out.svg")
    done = run(grid, "--pest", "squash vine borer", "-o", out, "--map", picture)
    assert done.exit_code == 0, done.output
    assert "1 stage of squash vine borer in 2 seasons on 24 pixels: reached" in done.output
    assert "Not dated on a grid: eggs being laid: no published sum" in done.output
    with xr.open_dataset(out) as made:
        assert made.attrs["card"] == "squash-vine-borer"
    drawn = picture.read_text(encoding="utf-8")
    for words in ("Squash vine borer, first moths: in the middle season", "60° N", "10° E",
                  "South of the equator half a year on.", "Hatched: not reached"):  # fmt: skip
        assert words in drawn, words


def test_what_stops_it_leaves_nothing(grid: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that is there, a stage nobody dates, a card nobody has, a fault half-way."""
    out = grid.with_name("out.nc")
    for more, found in (
        (("--pest", "squash-vine-borer", "--stage", "eggs"), "a grid has no date of it"),
        (("--pest", "walrus"), "walrus"),
        (("--pest", "squash-vine-borer", "--tmin", "low"), "it has no variable low"),
        (("--pest", "squash-vine-borer", "--units", "degC"), "its unit is K, not degC"),
    ):
        done = run(grid, "-o", out, *more)
        assert done.exit_code == 3, done.output
        assert found in done.output

    def full(made: xr.Dataset, path: Path) -> None:
        path.write_bytes(b"half")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("gddcast.grid.files.write_grid", full)
    done = run(grid, "--pest", "squash-vine-borer", "-o", out)
    assert done.exit_code == 3
    assert "the disk is full" in done.output
    assert [each.name for each in grid.parent.iterdir()] == ["grid.nc"]
    out.write_bytes(b"kept")
    done = run(grid, "--pest", "squash-vine-borer", "-o", out)
    assert "there is a file of that name" in done.output
    assert out.read_bytes() == b"kept"


def test_a_zarr_folder_by_its_ending(grid: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same answer as in NetCDF; whole, or not there; never in the place of another."""
    words = (grid, "--pest", "squash vine borer", "-o")
    store, file = grid.with_name("out.zarr"), grid.with_name("out.nc")
    for out in (store, file):
        done = run(*words, out, *(["--map", grid.with_name("out.svg")] if out == store else []))
        assert done.exit_code == 0, done.output
        assert f"Wrote {out}: 1 stage of squash vine borer in 2 seasons" in done.output
    with xr.open_dataset(store) as made, xr.open_dataset(file) as same:
        xr.testing.assert_equal(made.load(), same.load())
        assert made.attrs == same.attrs
    assert grid.with_name("out.svg").exists()
    taken = grid.with_name("taken.zarr")
    taken.write_bytes(b"kept")
    for out, found in ((store, "it is a folder"), (taken, "there is a file of that name")):
        done = run(*words, out, "--force")
        assert done.exit_code == 3
        assert found in done.output
        assert "not even with --force" in done.output
    assert taken.read_bytes() == b"kept"

    def full(made: xr.Dataset, path: Path) -> None:
        path.mkdir()
        (path / "half").write_bytes(b"half")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("gddcast.grid.files.write_grid", full)
    there = sorted(grid.parent.iterdir())
    done = run(*words, grid.with_name("other.zarr"))
    assert done.exit_code == 3
    assert "the disk is full" in done.output
    assert sorted(grid.parent.iterdir()) == there
