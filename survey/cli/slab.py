"""`floatwall slab`: the slab along every wall line, its highs and lows, what to grind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from survey.cli.options import CHECK_FAILED, Request, figure_option, shared_options

if TYPE_CHECKING:
    from survey.sheets.blocks import Block
    from survey.wall.planning import HousePlan


@click.command(short_help="Profile the slab along the walls.")
@shared_options
@figure_option("the slab and the plate on it")
@click.pass_context
def slab(context: click.Context, /, *, figure: Path | None, **options: Any) -> None:
    """Profile the slab of JOB along every wall line, with the plate that lies on it.

    Highs and lows, flatness, voids under the plate, its anchors, and where to grind:

    floatwall slab basement --wall North
    """
    from survey.cli.delivery import check_figures, check_files, deliver, table_targets
    from survey.cli.steps import open_job, plan_house, read_book, survey_fails, walls_read

    request = Request(**options)
    check_files(table_targets(request, "slab"), request)
    job = open_job(request)
    book = read_book(request, job)
    check_figures(figure, walls_read(request, job, book), request)
    house = plan_house(request, job, book)
    results = SlabResults(house=house, request=request)
    deliver(results, request, extra={} if figure is None else results.figures(figure))
    if request.check and survey_fails(house.profile.heights):
        context.exit(CHECK_FAILED)


@dataclass(frozen=True, kw_only=True, eq=False)
class SlabResults:
    """The slab of a house in each form it can be asked for."""

    house: HousePlan
    request: Request

    def record(self) -> Mapping[str, Any]:
        """The object --json prints."""
        from survey.sheets.record import slab_record

        return slab_record(self.house)

    def tables(self) -> Mapping[str, bytes]:
        """The files --csv writes, by name."""
        from survey.cli.steps import ruler_of
        from survey.sheets.tables import slab_tables

        return slab_tables(self.house, ruler=ruler_of(self.request, self.house.job))

    def blocks(self) -> Sequence[Block]:
        """The report on the terminal."""
        from survey.cli.steps import ruler_of
        from survey.sheets.text_slab import slab_blocks

        ruler = ruler_of(self.request, self.house.job)
        quiet, verbose = self.request.quiet, self.request.verbose
        return slab_blocks(self.house, ruler, detail=verbose, brief=quiet)

    def figures(self, file: Path) -> Mapping[Path, bytes]:
        """The drawings of the slab by the file they go into."""
        from survey.cli.steps import ruler_of
        from survey.sheets.drawings.saving import save_figures
        from survey.sheets.drawings.slab_figure import draw_slabs

        show = ruler_of(self.request, self.house.job).unit
        return save_figures(draw_slabs(self.house, show=show), file)
