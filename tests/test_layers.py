"""The order of the house: no import of a later module, no circle, no library out of its place."""

from __future__ import annotations

import sys
from graphlib import CycleError, TopologicalSorter

import pytest

from imports_read import imports_in, own_module, source_files

# Every module in the order of the job: what stands later may import what stands earlier, never
# the other way. `__init__` alone is the front door, which names the verbs of everything before it.
# Modules that are named here and not yet there are allowed.
ORDER = """
    errors lengths standards nails settings jobtables job example.__init__

    field.__init__ field.book
    field.jobwords field.jobvalues field.jobtree field.jobtext field.jobchecks field.jobfile
    field.decode field.headings field.cells field.damage field.lengthcolumn field.namecolumn
    field.leaveout field.rowchecks field.tapefile field.readings field.tapes
    field.least_squares field.collimation field.sights field.datum field.mark_fits field.scatter
    field.adjusted field.levelling field.evidence field.outliers field.kicks field.marks_moved
    field.findings field.quality_notes field.quality field.epochs

    slab.__init__ slab.kriging slab.roughness slab.further_reading slab.simulation
    slab.joints slab.line_readings slab.line_profile slab.taped_line slab.reading_notes
    slab.profile slab.leave_one_out slab.joist_scatter slab.read_surfaces slab.neighbours
    slab.read_again slab.judgement
    slab.slab_line slab.extremes slab.walked_line slab.f_numbers slab.flatness slab.evening
    slab.evenness
    slab.plank slab.interior_point slab.contact
    slab.rock slab.change_program slab.easing slab.anchor_places slab.parting slab.reanchoring
    slab.grinding slab.movement slab.surface

    wall.__init__ wall.house wall.layout wall.joists wall.clear_height wall.draws
    wall.anchoring wall.plate
    wall.fixed_plate
    wall.bridge wall.bending wall.hulls wall.ladder wall.stabbing wall.stepping wall.fitting
    wall.lines wall.bare_wall wall.studs wall.weights
    wall.spike_stations wall.spikes wall.spike_notes wall.trim_lines wall.doorways wall.clearance
    wall.sections wall.standing wall.fit_out wall.doubts
    wall.choices wall.taped wall.remedies wall.wall_plan wall.planning wall.travel

    shop.__init__ shop.pieces shop.patterns shop.stock

    __init__

    sheets.__init__ sheets.given sheets.ruler sheets.gathered_notes sheets.blocks
    sheets.slab_walls
    sheets.record_types sheets.record_head sheets.old_plan sheets.against
    sheets.text_against sheets.text_notes sheets.text_survey sheets.text_remedies
    sheets.text_flatness sheets.text_plate
    sheets.text_slab_line sheets.text_surface sheets.text_fit sheets.text_wall_grids
    sheets.text_wall sheets.text_plan
    sheets.text_slab sheets.text
    sheets.record_slab_types sheets.record_fit_types sheets.record_against_types
    sheets.record_plan_types sheets.record_studs sheets.record_fit
    sheets.record_quality sheets.record_survey sheets.record_slab sheets.csv_table
    sheets.record_against
    sheets.record_plan sheets.record sheets.fit_tables sheets.tables_slab sheets.tables
    sheets.files
    sheets.jobremarks sheets.jobtemplate sheets.fieldsheet
    sheets.drawings.__init__ sheets.drawings.paper sheets.drawings.spread
    sheets.drawings.label_row sheets.drawings.wall_rows sheets.drawings.wall_marks
    sheets.drawings.wall_words sheets.drawings.wall_caption sheets.drawings.edges
    sheets.drawings.wall_head sheets.drawings.wall_foot sheets.drawings.wall_figure
    sheets.drawings.slab_rows sheets.drawings.slab_words sheets.drawings.slab_panels
    sheets.drawings.slab_figure sheets.drawings.saving
    sheets.packet sheets.page sheets.fieldpage

    cli.options cli.delivery cli.steps
    cli.new cli.survey_command cli.slab cli.plan cli.cuts cli.sheets cli.movement cli.fieldpage
    cli.__init__

    __main__
"""

# Which third-party package may be imported where: a module, or a folder with all in it. The
# longest name that fits an import decides, so that scipy.special is free and scipy.stats is not.
COMPUTING = "field slab wall shop"
THIRD_PARTY: dict[str, str] = {
    "numpy": f"lengths {COMPUTING} sheets",
    "scipy.interpolate": COMPUTING,
    "scipy.linalg": COMPUTING,
    "scipy.optimize": COMPUTING,
    "scipy.sparse": COMPUTING,
    "scipy.special": COMPUTING,
    "scipy.stats": "",  # 650 ms to import; scipy.special has the same distributions
    "pandas": "field.cells sheets.tables",
    "pydantic": "field.jobfile",
    "rich": "sheets.blocks sheets.text cli",
    "click": "cli",
    "jinja2": "sheets.packet sheets.page sheets.fieldpage",
    "matplotlib": "sheets.drawings sheets.packet",
}


def _places() -> dict[str, int]:
    """Each listed module by its full name, and its place in the order."""
    listed = [f"survey.{name}".removesuffix(".__init__") for name in ORDER.split()]
    return {name: place for place, name in enumerate(listed)}


PLACES = _places()
FILES = source_files()
IMPORTS = {
    name: imports_in(path.read_text("utf-8"), name, is_package=path.name == "__init__.py")
    for name, path in FILES.items()
}


def _uses(module: str, imported: tuple[str, ...]) -> set[str]:
    """Our own modules among what a module imports, itself left out."""
    ours = {own_module(name, set(FILES)) for name in imported if name.split(".")[0] == "survey"}
    return {name for name in ours if name is not None and name != module}


def _late_imports(module: str, imported: tuple[str, ...]) -> list[str]:
    """Imports of modules that stand later; one without a place is another test's business."""
    return [
        f"{module} imports {name}, which stands later"
        for name in sorted(_uses(module, imported))
        if PLACES.get(name, 0) > PLACES.get(module, len(PLACES))
    ]


def _allowed(package: str, module: str) -> bool:
    inside = module.removeprefix("survey.")
    places = THIRD_PARTY[package].split()
    return any(inside == place or inside.startswith(f"{place}.") for place in places)


def _strangers(module: str, imported: tuple[str, ...]) -> list[str]:
    """Imports from outside that the module may not have."""
    faults = []
    for name in imported:
        top = name.split(".")[0]
        if top in ("survey", "__future__") or top in sys.stdlib_module_names:
            continue
        fits = [package for package in THIRD_PARTY if f"{name}.".startswith(f"{package}.")]
        if not fits:
            faults.append(f"{module} imports {name}: not in the table of this test")
        elif not _allowed(max(fits, key=len), module):
            faults.append(f"{module} imports {name}: {max(fits, key=len)} has no place there")
    return faults


def test_every_module_has_its_place() -> None:
    lost = [f"{name}: add it to the order" for name in FILES if name not in PLACES]
    assert not lost, "\n".join(lost)


def test_no_module_is_listed_twice() -> None:
    assert len(PLACES) == len(ORDER.split())


def test_no_module_imports_a_later_one() -> None:
    faults = [fault for module, used in IMPORTS.items() for fault in _late_imports(module, used)]
    assert not faults, "\n".join(faults)


def test_no_imports_go_in_a_circle() -> None:
    try:
        TopologicalSorter({name: _uses(name, used) for name, used in IMPORTS.items()}).prepare()
    except CycleError as circle:
        pytest.fail(" <- ".join(circle.args[1]))


def test_each_library_stays_in_its_place() -> None:
    faults = [fault for module, used in IMPORTS.items() for fault in _strangers(module, used)]
    assert not faults, "\n".join(faults)


def test_folders_are_closed_doors() -> None:
    """A folder's __init__ imports nothing: whoever wants one module gets that one only."""
    open_doors = [
        name
        for name in ("survey.field", "survey.slab", "survey.wall", "survey.shop", "survey.sheets")
        if IMPORTS.get(name)
    ]
    assert not open_doors


@pytest.mark.parametrize(
    "source",
    [
        "from survey.wall.planning import plan",
        "from survey.wall import planning",
        "import survey.wall.planning",
        "from survey import wall",
        "from ..wall.planning import plan",
        "from .. import wall",
        "def inside():\n    from survey.wall import planning",
        "if TYPE_CHECKING:\n    from survey.wall.planning import HousePlan",
        "importlib.import_module('survey.wall.planning')",
        "from survey import plan",
    ],
)
def test_an_import_of_a_later_layer_is_seen(source: str) -> None:
    assert _late_imports("survey.slab.kriging", imports_in(source, "survey.slab.kriging"))


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("survey.wall.lines", "from scipy import stats"),
        ("survey.wall.lines", "from scipy.stats import chi2"),
        ("survey.wall.lines", "import pandas as pd"),
        ("survey.field.levelling", "def f():\n    import pydantic"),
        ("survey.lengths", "import scipy.optimize"),
        ("survey.sheets.text_wall", "from matplotlib.figure import Figure"),
        ("survey.cli.plan", "import numpy as np"),
        ("survey.slab.kriging", "import sklearn"),
    ],
)
def test_a_library_out_of_its_place_is_seen(module: str, source: str) -> None:
    assert _strangers(module, imports_in(source, module))


def test_what_is_allowed_is_not_called_a_fault() -> None:
    source = "from survey.field.book import FieldBook\nfrom scipy.special import ndtr\nimport math"
    imported = imports_in(source, "survey.slab.profile")
    assert not _late_imports("survey.slab.profile", imported)
    assert not _strangers("survey.slab.profile", imported)
