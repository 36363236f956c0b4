"""`floatwall plan`: plate heights, float gaps and stud lengths of every wall."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from survey.cli.options import CHECK_FAILED, Request, figure_option, shared_options

if TYPE_CHECKING:
    from survey.sheets.against import Against
    from survey.sheets.blocks import Block
    from survey.sheets.old_plan import OldPlan
    from survey.wall.planning import HousePlan

TOPS = ("level", "straight", "tight", "auto")
BOTTOMS = ("auto", "level", "one length", "stepped", "raked", "parallel")


@click.command(short_help="Plan the walls: plates, gaps, studs.")
@shared_options
@click.option("--rise", metavar="LENGTH", help="How far the slab may rise.")
@click.option("--drop", metavar="LENGTH", help="How far the slab may drop.")
@click.option("--widest", metavar="LENGTH", help="Greatest gap wanted.")
@click.option("--top", type=click.Choice(TOPS), help="Line of the top plate.")
@click.option("--bottom", type=click.Choice(BOTTOMS), help="Line of the bottom plate.")
@figure_option("the walls")
@click.option(
    "--against",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Compare with an earlier plan, as --json printed it.",
)
@click.pass_context
def plan(
    context: click.Context, /, *, figure: Path | None, against: Path | None, **options: Any
) -> None:
    """Plan the walls of JOB: a folder, a job.toml or a readings CSV.

    Lengths are given as on a tape:

        floatwall plan basement --rise 1-1/2 --drop 1
    """
    from survey.cli.delivery import check_figures, check_files, deliver, table_targets
    from survey.cli.steps import open_job, plan_house, read_book, walls_read

    settings = {
        "float.rise": options.pop("rise"),
        "float.drop": options.pop("drop"),
        "float.widest": options.pop("widest"),
        "frame.top": options.pop("top"),
        "frame.bottom": options.pop("bottom"),
    }
    request = Request(**options)
    compared = [request.csv / "against.csv"] if request.csv and against is not None else []
    check_files([*table_targets(request, "plan"), *compared], request)
    old = None if against is None else read_old(against)
    job = open_job(request, settings)
    book = read_book(request, job)
    check_figures(figure, walls_read(request, job, book, hung=True), request)
    house = plan_house(request, job, book)
    results = PlanResults(house=house, request=request, old=old)
    deliver(results, request, extra={} if figure is None else results.figures(figure))
    if request.check and fails(house):
        context.exit(CHECK_FAILED)


@dataclass(frozen=True, kw_only=True, eq=False)
class PlanResults:
    """The plan of a house in each form it can be asked for."""

    house: HousePlan
    request: Request
    old: OldPlan | None = None

    @property
    def against(self) -> Against | None:
        """The earlier plan against this one; None where none was given."""
        from survey.sheets.against import compare_plans

        if self.old is None:
            return None
        return compare_plans(self.old, self.house, wall=self.request.wall)

    def record(self) -> Mapping[str, Any]:
        """The object --json prints."""
        from survey.sheets.record import plan_record

        return plan_record(self.house, self.against)

    def tables(self) -> Mapping[str, bytes]:
        """The files --csv writes, by name."""
        from survey.cli.steps import ruler_of
        from survey.sheets.tables import plan_tables

        ruler = ruler_of(self.request, self.house.job)
        return plan_tables(self.house, ruler=ruler, against=self.against)

    def blocks(self) -> Sequence[Block]:
        """The report on the terminal."""
        from survey.cli.steps import ruler_of
        from survey.sheets.text_plan import plan_blocks

        ruler = ruler_of(self.request, self.house.job)
        quiet, verbose = self.request.quiet, self.request.verbose
        return plan_blocks(self.house, ruler, detail=verbose, brief=quiet, against=self.against)

    def figures(self, file: Path) -> Mapping[Path, bytes]:
        """The drawings of the walls by the file they go into."""
        from survey.cli.steps import ruler_of
        from survey.sheets.drawings.saving import save_figures
        from survey.sheets.drawings.wall_figure import draw_house

        show = ruler_of(self.request, self.house.job).unit
        return save_figures(draw_house(self.house, show=show), file)


def read_old(file: Path) -> OldPlan:
    """Read the earlier plan, before anything is computed."""
    from survey.sheets.old_plan import read_plan

    return read_plan(file)


def fails(house: HousePlan) -> bool:
    """Whether --check is to fail: the survey, a wall, or a note that says stop."""
    from survey.cli.steps import survey_fails
    from survey.sheets.text_plan import all_notes

    return (
        survey_fails(house.profile.heights)
        or not all(wall.verdict.passes for wall in house.walls)
        or any(note.level == "stop" for note in all_notes(house))
    )
