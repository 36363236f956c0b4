"""Drawings of the slab: what is drawn, to which scale, and that no label covers another."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon
from matplotlib.transforms import Bbox

from plans import SAMPLES, sample, wavy_house
from survey.errors import SurveyError
from survey.job import PlateBoard, SlabFacts, Travel
from survey.sheets.drawings.paper import WallPage
from survey.sheets.drawings.saving import save_figures
from survey.sheets.drawings.slab_figure import draw_slabs
from survey.sheets.drawings.slab_panels import plate_range, slab_range, straightedge_ends
from survey.sheets.drawings.slab_rows import break_line, slab_notes_of
from survey.sheets.drawings.wall_rows import MOST_LABELS
from survey.sheets.ruler import ruler_for
from survey.sheets.slab_walls import slab_walls
from survey.sheets.text_plate import all_anchors, pull_words
from survey.wall.planning import HousePlan

SETTLED = SlabFacts(post_tension="no", tubes="no", membrane="no")
TENDONS = SlabFacts(post_tension="yes", tubes="no", membrane="no")
LONG_NAME = 'Nörd $x^2$ <b>&amp; "quote" 😀 =1+1 壁 ' + "very long name " * 17 + "end"
ODD = {
    "crowded": wavy_house(LONG_NAME, 720.0, doors=(100.0, 300.0, 500.0), floor={"every": 12.0},
                          plate=PlateBoard(anchor_spacing=10.0),
                          wall={"slab_joints": (240.0,)}, travel=Travel(widest=1.8)),
    "dense": wavy_house("Dense", 200.0, doors=(100.0,), floor={"every": 8.0},
                        plate=PlateBoard(anchor_spacing=1.5)),
    "tiny": wavy_house("Tiny", 20.0, floor={"every": 8.0}),
    "two plates": wavy_house("Two", 160.0, plate=PlateBoard(count=2, seal=0.25)),
    "not hung": wavy_house("Tied", 160.0, wall={"hang": "none"}),
    "tendons": wavy_house("Tendons", 160.0, slab=TENDONS, travel=Travel(widest=1.8)),
    "to grind": wavy_house("Rough", 320.0, floor={"height": 1.5, "wave": 10.0},
                           travel=Travel(widest=2.0)),
    "deep dip": wavy_house("Dip", 320.0, floor={"height": 12.0, "wave": 100.0}),
}  # fmt: skip
EVERY = [*SAMPLES, *ODD]


def house_of(name: str) -> HousePlan:
    return ODD[name] if name in ODD else sample(name)


def texts(page: WallPage) -> list[str]:
    return [text.get_text() for text in page.figure.axes[0].texts if text.get_text()]


def joined(page: WallPage) -> str:
    return re.sub(r"\s+", " ", " ".join(texts(page)))


def boxes(figure: Figure) -> list[tuple[str, Bbox]]:
    canvas = FigureCanvasAgg(figure)
    canvas.draw()  # type: ignore[no-untyped-call]
    renderer = canvas.get_renderer()  # type: ignore[no-untyped-call]
    shown = [text for text in figure.axes[0].texts if text.get_text()]
    return [(text.get_text(), text.get_window_extent(renderer)) for text in shown]


def polygons(page: WallPage) -> list[Polygon]:
    return [patch for patch in page.figure.axes[0].patches if isinstance(patch, Polygon)]


def lines(page: WallPage, width: float) -> list[Line2D]:
    return [
        line
        for line in page.figure.axes[0].lines
        if line.get_linewidth() == width and line.get_linestyle() != "None"
    ]


def times_of(page: WallPage) -> float:
    found = re.search(r"Heights are drawn ([0-9.e-]+) times", joined(page))
    assert found is not None
    return float(found[1])


@pytest.mark.parametrize("name", EVERY)
def test_no_label_covers_another_or_leaves_the_page(name: str) -> None:
    for page in draw_slabs(house_of(name)):
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


@pytest.mark.parametrize("name", EVERY)
def test_every_anchor_splice_and_void_is_labelled(name: str) -> None:
    house = house_of(name)
    ruler = ruler_for(house.job)
    pages = draw_slabs(house)
    for wall in house.walls:
        said = [re.sub(r"[\s!]", "", t) for p in pages if p.wall == wall.name for t in texts(p)]
        for anchor in all_anchors(wall):
            station = ruler.bare(anchor.station)
            pull = pull_words(anchor.pull, ruler).replace(" ", "")
            assert f"{station}{pull}" in said or {station, pull} <= set(said)
        assert sum(t[-6:] == "splice" for t in said) == len(wall.plate.splices)
        for piece in wall.plate.pieces:
            for void in piece.voids:
                assert ruler.said(void.depth).replace(" ", "") in said


@pytest.mark.parametrize("name", SAMPLES)
def test_heights_are_drawn_to_the_exaggeration_that_is_stated(name: str) -> None:
    house = sample(name)
    for item, page in zip(slab_walls(house), draw_slabs(house), strict=True):
        (slab,), mean = lines(page, 1.8), item.slab.mean
        along = float(np.ptp(np.asarray(slab.get_xdata(), dtype=float))) / item.line.length
        up = float(np.ptp(np.asarray(slab.get_ydata(), dtype=float))) / float(np.ptp(mean))
        assert up / along == pytest.approx(times_of(page), rel=1e-6)


def test_a_void_is_hatched_as_high_as_the_plate_stands_off() -> None:
    house = sample("quarry_house")
    page, wall = draw_slabs(house)[0], house.walls[0]
    (slab,) = lines(page, 1.8)
    up = float(np.ptp(np.asarray(slab.get_ydata(), dtype=float))) / float(np.ptp(wall.slab.mean))
    hatched = [patch.get_xy() for patch in polygons(page) if patch.get_hatch()]
    drawn = []
    for corners in hatched:
        half = len(corners) // 2  # a closing corner may stand at the end
        under, over = corners[:half, 1], corners[half : 2 * half][::-1, 1]
        drawn.append(float((over - under).max()) / up)
    deepest = max(void.depth for piece in wall.plate.pieces for void in piece.voids)
    assert max(drawn) == pytest.approx(deepest, rel=1e-6)
    assert len(hatched) >= len(wall.plate.pieces)


def test_each_anchor_is_a_bolt_into_the_concrete() -> None:
    house = sample("quarry_house")
    for wall, page in zip(house.walls, draw_slabs(house), strict=True):
        assert len(lines(page, 1.5)) == len(all_anchors(wall))


@pytest.mark.parametrize("name", EVERY)
def test_the_straightedge_rests_on_its_contacts_and_on_nothing_else(name: str) -> None:
    for item in slab_walls(house_of(name)):
        ends = straightedge_ends(item)
        found = item.evenness.straightedge
        assert bool(ends) == (found.gap > 0.0)
        if not ends:
            continue
        (a, low), (b, high) = ends
        assert 0.0 <= a < b <= item.line.length
        assert b - a <= found.span + 1e-9
        inside = (item.slab.at.station >= a) & (item.slab.at.station <= b)
        bar = np.interp(item.slab.at.station[inside], [a, b], [low, high])
        over = bar - item.slab.mean[inside]
        assert over.min() == pytest.approx(0.0, abs=1e-6)
        for contact in found.contacts:
            rests = float(np.interp(contact, [a, b], [low, high]))
            assert rests == pytest.approx(float(item.slab.height(contact)), abs=1e-6)
        at = float(np.interp(found.station, [a, b], [low, high]))
        assert at - float(item.slab.height(found.station)) == pytest.approx(found.gap, abs=1e-6)


def test_grinding_is_black_and_headed_by_what_to_ask() -> None:
    house = ODD["to grind"]
    page = draw_slabs(house)[0]
    assert "DO NOT DRILL OR GRIND UNTIL ASKED" in joined(page)
    assert "silica" in joined(page)
    black = [p for p in polygons(page) if p.get_facecolor()[:3] == (0.0, 0.0, 0.0)]
    assert len(black) == len(house.walls[0].grind) > 0
    for number in range(1, len(black) + 1):
        assert any(text.startswith(f"G{number} float") for text in texts(page))


def test_over_tendons_there_is_no_bolt_and_nothing_to_grind() -> None:
    house = ODD["tendons"]
    page = draw_slabs(house)[0]
    assert not house.walls[0].verdict.passes
    assert house.walls[0].grind == ()
    assert "NO ANCHORS, NO GRINDING" in joined(page)
    assert not lines(page, 1.5)
    assert "25,000" not in joined(page)


def test_a_line_without_a_plate_has_the_bare_slab_only() -> None:
    page = draw_slabs(ODD["not hung"])[0]
    assert not any("AS IT LIES" in text for text in texts(page))
    assert any("BARE SLAB" in text for text in texts(page))
    assert not [patch for patch in polygons(page) if patch.get_hatch()]


def test_a_long_line_takes_several_pages_and_shares_its_labels() -> None:
    house = ODD["crowded"]
    item = slab_walls(house)[0]
    notes = slab_notes_of(item, ruler_for(house.job))
    parts = break_line(item.line.length, notes)
    assert len(parts) > 1
    assert parts[0].start == 0.0
    assert parts[-1].end == item.line.length
    assert all(one.end == other.start for one, other in itertools.pairwise(parts))
    inside = [sum(part.start <= s < part.end for s, _ in notes.anchors) for part in parts]
    assert max(inside) <= MOST_LABELS
    assert sum(inside) == len(notes.anchors)


def test_ranges_hold_what_is_drawn() -> None:
    house = ODD["to grind"]
    item, wall = slab_walls(house)[0], house.walls[0]
    low, high = slab_range(item)
    deepest = min(float((item.slab.height(g.station) - g.depth).min()) for g in wall.grind)
    assert low <= deepest
    assert high >= item.slab.mean.max()
    assert plate_range(wall)[1] == pytest.approx((wall.slab.mean + wall.plate.lift).max())


def test_names_are_written_as_they_are() -> None:
    said = joined(draw_slabs(ODD["crowded"])[0])
    assert 'Nörd $x^2$ <b>&amp; "quote" 😀 =1+1 □ very' in said


def test_show_changes_units_and_paper() -> None:
    page = draw_slabs(sample("one_wall.csv"), show="mm")[0]
    assert page.figure.get_figwidth() == pytest.approx(297 / 25.4)
    assert '"' not in joined(page)
    assert " lb" not in joined(page)


def test_files_are_the_same_bytes_every_time() -> None:
    house = ODD["two plates"]
    for name in ("slab.pdf", "slab.svg", "slab.png"):
        one, other = (save_figures(draw_slabs(house), Path(name)) for _ in range(2))
        assert one == other


def test_without_a_line_there_is_nothing_to_draw() -> None:
    house = ODD["tiny"]
    bare = replace(house, walls=(), profile=replace(house.profile, lines=()))
    with pytest.raises(SurveyError, match="nothing to draw"):
        draw_slabs(bare)
