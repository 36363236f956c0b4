"""`floatwall slab`: the slab along every wall line, its highs and lows, what to grind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from survey.cli.options import CHECK_FAILED, Request, shared_options

if TYPE_CHECKING:
    from survey.sheets.blocks import Block
    from survey.wall.planning import HousePlan


@click.command(short_help="Profile the slab along the walls.")
@shared_options
@click.pass_context
def slab(context: click.Context, /, **options: Any) -> None:
    """Profile the slab of JOB along every wall line: highs, lows, fall, where to grind.

    floatwall slab basement --wall North
    """
    from survey.cli.delivery import check_files, deliver, table_targets
    from survey.cli.steps import open_job, plan_house, survey_fails

    request = Request(**options)
    check_files(table_targets(request, "slab"), request)
    house = plan_house(request, open_job(request))
    deliver(SlabResults(house=house, request=request), request)
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
        return slab_blocks(self.house, ruler, brief=self.request.quiet)
