"""Which joists there are and how sure their heights."""

import numpy as np
import pytest

from books import Row, book_of
from survey.errors import Note
from survey.field.levelling import adjust
from survey.job import Job, Laser, WallLine, resolve
from survey.slab.profile import profile
from survey.slab.slab_line import predict_slab, stations_along
from survey.wall.joists import JoistLine, draw_joists, height_at, joist_line


def _joists(read: list[float], *, length: float = 192.0, **wall: object) -> JoistLine:
    settings = WallLine(name="W", length=length, **wall)  # type: ignore[arg-type]
    job = Job(walls=(settings,))
    rows = [Row(name="W", station=s, down=52.0, up=47.0 + s / 1000) for s in read]
    rows += [Row(name="W", station=s, down=52.0) for s in (5.0, 90.0, 185.0)]
    floor = profile(adjust(book_of(rows), Laser()), job)
    line = floor.lines[0]
    slab = predict_slab(line, floor.model, stations_along(line))
    made = joist_line(line, resolve(job, "W"), slab)
    assert not isinstance(made, Note)
    return made


def test_joists_read_at_sixteen_are_all_there_are() -> None:
    joists = _joists([8.0 + 16 * i for i in range(12)])
    assert joists.station.tolist() == [8.0 + 16 * i for i in range(12)]
    assert joists.read.all()
    assert joists.spacing == 16.0
    assert joists.notes == ()


def test_every_second_joist_read_hides_one_between() -> None:
    joists = _joists([8.0, 40.0, 72.0, 104.0, 136.0, 168.0])
    assert joists.station.tolist() == [8.0 + 16 * i for i in range(12)]
    assert joists.read.tolist() == [True, False] * 6
    assert joists.elevation[1] == pytest.approx((joists.elevation[0] + joists.elevation[2]) / 2)
    assert joists.sd[1] == pytest.approx(np.hypot(0.125, np.sqrt(0.5) / 16), rel=0.01)


def test_joists_at_twenty_four_hide_nothing() -> None:
    joists = _joists([12.0 + 24 * i for i in range(8)])
    assert joists.read.all()
    assert joists.spacing == 24.0


def test_one_joist_left_out_is_found_by_the_spacing_of_the_others() -> None:
    read = [8.0 + 16 * i for i in range(12) if i != 4]
    joists = _joists(read)
    assert joists.station[~joists.read].tolist() == [72.0]
    assert [note.lengths[0] for note in joists.notes] == [72.0]


def test_joists_before_the_first_and_after_the_last_reading_stand_at_the_spacing() -> None:
    joists = _joists([72.0, 88.0, 104.0])
    assert joists.station[0] == 8.0
    assert joists.station[-1] == 184.0


def test_draws_have_the_stated_sd() -> None:
    joists = _joists([8.0, 40.0, 72.0, 104.0, 136.0, 168.0])
    rng = np.random.default_rng(4)
    error = rng.normal(0.0, 1 / 16, (20_000, 6))
    drawn = draw_joists(joists, error=error, rng=rng)
    assert drawn.mean(axis=0) == pytest.approx(joists.elevation, abs=0.005)
    assert drawn.std(axis=0) == pytest.approx(joists.sd, rel=0.03)


def test_blocking_stands_where_it_was_read_and_between_at_the_stud_spacing() -> None:
    joists = _joists([0.0, 96.0, 192.0], joists="along", blocking_drop=1.0)
    assert joists.station.tolist() == [16.0 * i for i in range(13)]
    assert joists.elevation[3] == pytest.approx(
        float(np.interp(48.0, [0.0, 192.0], [99.0, 99.192])) - 1.0, abs=1e-6
    )


def test_blocking_goes_on_beyond_the_readings() -> None:
    joists = _joists([60.0, 100.0], joists="along")
    assert joists.station[0] == 12.0
    assert joists.station[-1] == 180.0
    assert np.diff(joists.station).max() <= 16.0


def test_height_between_joists_is_interpolated() -> None:
    joists = _joists([8.0, 24.0, 40.0])
    middle = height_at(joists, [16.0])[0]
    assert middle == pytest.approx(joists.elevation[:2].mean())
