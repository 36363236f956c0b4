"""Wall drawings: what is drawn, to which scale, and that no label covers another."""

from __future__ import annotations

import itertools
import re
import subprocess
import sys
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon
from matplotlib.transforms import Bbox

from plans import ROOT, SAMPLES, sample, wavy_house
from survey.errors import SurveyError
from survey.job import Frame, PlateBoard, Travel, Under
from survey.sheets.drawings.label_row import Label, place_labels
from survey.sheets.drawings.paper import WallPage, text_width, wrap
from survey.sheets.drawings.saving import figure_targets, save_figures
from survey.sheets.drawings.wall_figure import draw_house
from survey.sheets.drawings.wall_rows import MOST_LABELS, break_wall
from survey.sheets.ruler import ruler_for
from survey.wall.planning import HousePlan

LONG_NAME = 'Nörd $x^2$ <b>&amp; "quote" 😀 =1+1 壁 ' + "very long name " * 17 + "end"
CROWDED = wavy_house(
    LONG_NAME, 720.0, doors=(100.0, 300.0, 500.0), floor={"every": 12.0},
    frame=Frame(spacing=12.0), wall={"slab_joints": (240.0,)},
)  # fmt: skip
ODD = {
    "crowded": CROWDED,
    "dense": wavy_house(
        "Dense", 200.0, doors=(100.0,), floor={"every": 8.0}, frame=Frame(spacing=4.0)
    ),
    "tiny": wavy_house("Tiny", 20.0, floor={"every": 8.0}),
    "narrow gap": wavy_house("Tight", 200.0, travel=Travel(rise=0.0, drop=0.0, allowance=0.0),
                             frame=Frame(precut=())),
    "duct": wavy_house("Duct", 300.0, doors=(240.0,),
                       wall={"under": (Under(from_=100.0, to=140.0, underside=84.0),)}),
    "two plates": wavy_house("Cross", 160.0, wall={"cross_fall": 0.03, "read_offset": 4.0},
                             plate=PlateBoard(count=2, seal=0.25)),
    "to grind": wavy_house("Rough", 320.0, floor={"height": 1.5, "wave": 10.0},
                           travel=Travel(widest=2.0)),
    "deep dip": wavy_house("Dip", 320.0, floor={"height": 12.0, "wave": 100.0}),
}  # fmt: skip


def house_of(name: str) -> HousePlan:
    return ODD[name] if name in ODD else sample(name)


def texts(page: WallPage) -> list[str]:
    return [text.get_text() for text in page.figure.axes[0].texts if text.get_text()]


def boxes(figure: Figure) -> list[tuple[str, Bbox]]:
    """Every text with the place it takes, as the renderer draws it."""
    canvas = FigureCanvasAgg(figure)
    canvas.draw()  # type: ignore[no-untyped-call]
    renderer = canvas.get_renderer()  # type: ignore[no-untyped-call]
    shown = [text for text in figure.axes[0].texts if text.get_text()]
    return [(text.get_text(), text.get_window_extent(renderer)) for text in shown]


def times_of(page: WallPage) -> float:
    found = re.search(r"Heights are drawn ([0-9.]+) times", " ".join(texts(page)))
    assert found is not None
    return float(found[1])


def rectangles(page: WallPage) -> list[Polygon]:
    """Areas with four corners that are filled white and have no hatch: the frame's plates."""
    patches = [patch for patch in page.figure.axes[0].patches if isinstance(patch, Polygon)]
    return [p for p in patches if len(p.get_xy()) == 5 and not p.get_hatch()
            and p.get_facecolor() == (1.0, 1.0, 1.0, 1.0)]  # fmt: skip


def slab_line(page: WallPage) -> Line2D:
    """The thickest line of the drawing."""
    return max(page.figure.axes[0].lines, key=lambda line: line.get_linewidth())


@pytest.mark.parametrize("name", [*SAMPLES, *ODD])
def test_no_label_covers_another_or_leaves_the_page(name: str) -> None:
    for page in draw_house(house_of(name)):
        found = boxes(page.figure)
        width, height = page.figure.bbox.width, page.figure.bbox.height
        for text, box in found:
            assert box.x0 >= 0, text
            assert box.x1 <= width, text
            assert 0 <= box.y0 <= box.y1 <= height, text
        for (one, a), (other, b) in itertools.combinations(found, 2):
            wide = min(a.x1, b.x1) - max(a.x0, b.x0)
            tall = min(a.y1, b.y1) - max(a.y0, b.y0)
            assert min(wide, tall) < 1.5, f"{page.wall}: {one!r} covers {other!r}"


@pytest.mark.parametrize("name", [*SAMPLES, *ODD])
def test_every_stud_is_named_with_its_length_and_station(name: str) -> None:
    house = house_of(name)
    ruler = ruler_for(house.job)
    pages = draw_house(house)
    for wall in house.walls:
        # Labels stand in two lines or in one, so spaces do not count.
        said = {re.sub(r"\s", "", t) for p in pages if p.wall == wall.name for t in texts(p)}
        for stud in wall.studs:
            length = ruler.length(stud.length).replace(" ", "")
            assert f"{stud.mark}{length}" in said or {stud.mark, length} <= said
            assert ruler.bare(stud.station) in said
        for packing in wall.top.packing:
            station = ruler.bare(packing.station)
            thickness = ruler.length(packing.thickness).replace(" ", "")
            places = {station, f"{station}?"}
            assert any(f"{p}{thickness}" in said or {p, thickness} <= said for p in places)


@pytest.mark.parametrize("name", SAMPLES)
def test_least_and_greatest_gap_are_dimensioned(name: str) -> None:
    house = sample(name)
    ruler = ruler_for(house.job)
    for wall, page in zip(house.walls, draw_house(house), strict=True):
        said = texts(page)
        assert f"least {ruler.length(wall.gap.least)}" in said
        assert f"greatest {ruler.length(wall.gap.greatest)}" in said


@pytest.mark.parametrize("name", SAMPLES)
def test_heights_are_drawn_to_the_exaggeration_that_is_stated(name: str) -> None:
    """The bottom plate is the lowest of the white areas: its shape tells both scales."""
    house = sample(name)
    for wall, page in zip(house.walls, draw_house(house), strict=True):
        plate = min(rectangles(page), key=lambda p: float(p.get_xy()[:, 1].min()))
        up = float(np.ptp(plate.get_xy()[:, 1])) / wall.frame.plate_thickness
        slab = slab_line(page)
        along = float(np.ptp(np.asarray(slab.get_xdata(), dtype=float))) / wall.length
        assert up / along == pytest.approx(times_of(page), rel=1e-6)
        drawn = float(np.ptp(np.asarray(slab.get_ydata(), dtype=float)))
        assert drawn == pytest.approx(up * float(np.ptp(wall.slab.mean)), rel=1e-6)


def test_the_gap_arrow_is_as_long_as_the_gap() -> None:
    house = sample("one_wall.csv")
    page, wall = draw_house(house)[0], house.walls[0]
    plate = min(rectangles(page), key=lambda p: float(p.get_xy()[:, 1].min()))
    up = float(np.ptp(plate.get_xy()[:, 1])) / wall.frame.plate_thickness
    arrows = [t for t in page.figure.axes[0].texts if getattr(t, "arrowprops", None)]
    spans = sorted(abs(t.xy[1] - t.xyann[1]) / up for t in arrows)  # type: ignore[attr-defined]
    assert spans == pytest.approx([wall.gap.least, wall.gap.greatest], abs=0.01)


def test_doors_leave_the_plates_open() -> None:
    house = wavy_house("W", 320.0, doors=(100.0,))
    page = draw_house(house)[0]
    lowest = min(float(p.get_xy()[:, 1].min()) for p in rectangles(page))
    pieces = [p for p in rectangles(page) if float(p.get_xy()[:, 1].min()) == lowest]
    assert len(pieces) == 2
    assert "D1" in texts(page)
    assert any('rough opening 83" to 117"' in text for text in texts(page))


def test_grinding_is_drawn_and_headed_by_what_to_ask() -> None:
    page = draw_house(ODD["to grind"])[0]
    said = " ".join(texts(page))
    assert "DO NOT DRILL OR GRIND UNTIL ASKED" in said
    assert "CANNOT BE BUILT SO" in said
    assert "G1" in texts(page)
    black = [p for p in page.figure.axes[0].patches if p.get_facecolor()[:3] == (0.0, 0.0, 0.0)]
    assert len(black) == len(ODD["to grind"].walls[0].grind) + len(
        ODD["to grind"].walls[0].top.packing
    )


def test_a_float_nobody_gave_heads_the_page() -> None:
    assert 'FLOAT ASSUMED: ASK. Taken: rise 1-1/2", drop 1"' in texts(draw_house(ODD["tiny"])[0])
    assert not any("ASSUMED" in text for text in texts(draw_house(sample("quarry_house"))[0]))


def test_names_are_written_as_they_are() -> None:
    """No mathematics, no markup; a sign the font lacks becomes a box without a warning."""
    page = draw_house(CROWDED)[0]
    said = " ".join(texts(page))
    assert 'Nörd $x^2$ <b>&amp; "quote" 😀 =1+1 □ very' in said
    assert "name end" in said
    shown = [text for text in page.figure.axes[0].texts if text.get_text()]
    assert not any(text.get_parse_math() for text in shown)


def test_a_long_wall_is_cut_at_its_studs() -> None:
    wall = CROWDED.walls[0]
    stretches = break_wall(wall)
    assert len(wall.studs) > MOST_LABELS
    assert stretches[0].start == 0.0
    assert stretches[-1].end == wall.length
    plain = {stud.station for stud in wall.studs if stud.kind == "stud"}
    for one, other in itertools.pairwise(stretches):
        assert one.end == other.start in plain
    for part in stretches:
        assert sum(part.start <= s.station <= part.end for s in wall.studs) <= MOST_LABELS
    assert [page.page for page in draw_house(CROWDED)] == [1, 2]


def test_a_wall_of_any_length_finds_its_pages() -> None:
    wall = wavy_house("Hangar", 4000.0, floor={"every": 48.0}, frame=Frame(spacing=24.0)).walls[0]
    stretches = break_wall(wall)
    assert len(stretches) >= 8
    assert all(part.end > part.start for part in stretches)


def test_no_planned_wall_is_an_error() -> None:
    house = wavy_house("W", 96.0, wall={"hang": "none"})
    with pytest.raises(SurveyError, match="nothing to draw"):
        draw_house(house)


def test_show_changes_units_and_paper() -> None:
    house = sample("one_wall.csv")
    inch, metric = draw_house(house)[0], draw_house(house, show="mm")[0]
    assert inch.figure.get_figwidth() == 11.0
    assert metric.figure.get_figwidth() == pytest.approx(297 / 25.4)
    assert any("2352.7 mm" in text for text in texts(metric))


def test_labels_that_would_wander_are_turned() -> None:
    near = [Label(x=x, lines=("S10", '92-5/8"')) for x in (4.0, 4.1, 4.2, 4.3)]
    assert place_labels(near, 0.0, 9.0).turned
    assert not place_labels(near[:1], 0.0, 9.0).turned
    assert place_labels([], 0.0, 9.0).height == 0.0


def test_words_too_wide_for_a_line_are_broken() -> None:
    lines = wrap("x" * 300 + " end", 2.0, 8.0)
    assert "".join(lines) == "x" * 300 + "end" or "".join(lines).count("x") == 300
    assert max(text_width(line, 8.0) for line in lines) <= 2.0


@pytest.mark.parametrize(
    ("walls", "path", "files"),
    [
        (["N"], "a.png", ["a.png"]),
        (["N", "S"], "a.pdf", ["a.pdf", "a.pdf"]),
        (["N", "S"], "out/a.SVG", ["out/a-n.SVG", "out/a-s.SVG"]),
        (["N", "n"], "a.png", ["a-n.png", "a-n-2.png"]),
        (["../x", "$"], "a.png", ["a-x.png", "a-unnamed.png"]),
    ],
)
def test_files_are_named_for_their_walls(walls: list[str], path: str, files: list[str]) -> None:
    assert [str(target) for target in figure_targets(walls, Path(path))] == files


def test_a_file_of_another_kind_is_refused() -> None:
    with pytest.raises(SurveyError, match=r"saved as \.pdf, \.svg or \.png"):
        save_figures(draw_house(ODD["tiny"]), Path("plan.jpg"))


def test_a_users_own_settings_change_nothing() -> None:
    path = Path("plan.svg")
    wanted = save_figures(draw_house(ODD["tiny"]), path)
    with mpl.rc_context({"font.size": 30, "text.usetex": True, "lines.linewidth": 9,
                         "font.family": "serif", "svg.hashsalt": "other"}):  # fmt: skip
        assert save_figures(draw_house(ODD["tiny"]), path) == wanted


def test_files_are_the_same_bytes_every_time_and_need_no_pyplot() -> None:
    """Drawn twice, by processes that order their sets differently."""
    code = """
import hashlib, sys
from pathlib import Path
import survey
from survey.sheets.drawings.saving import save_figures
from survey.sheets.drawings.wall_figure import draw_house
job = survey.read_job(sys.argv[1])
heights = survey.adjust(survey.read_readings(job), job.laser)
house = survey.plan(survey.profile(heights, job), job)
for kind in ("pdf", "svg", "png"):
    for path, data in save_figures(draw_house(house), Path("plan." + kind)).items():
        print(path, hashlib.sha256(data).hexdigest())
assert "matplotlib.pyplot" not in sys.modules
"""
    folder = ROOT / "survey" / "example"
    said = [
        subprocess.run([sys.executable, "-W", "error", "-c", code, str(folder)], check=True,
                       capture_output=True, text=True, cwd=ROOT,
                       env={"PYTHONHASHSEED": seed, "OPENBLAS_NUM_THREADS": "1"}).stdout
        for seed in ("1", "2")
    ]  # fmt: skip
    assert said[0] == said[1]
    assert len(said[0].splitlines()) == 5
