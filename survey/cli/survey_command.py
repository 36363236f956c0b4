"""`floatwall survey`: the adjustment of the readings and how far it can be trusted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from survey.cli.options import CHECK_FAILED, Request, shared_options

if TYPE_CHECKING:
    from survey.job import Job
    from survey.sheets.blocks import Block
    from survey.slab.judgement import Judgement


@click.command("survey", short_help="Adjust the readings and judge them.")
@shared_options
@click.pass_context
def survey_command(context: click.Context, /, **options: Any) -> None:
    """Adjust the readings of JOB and judge them: what agrees, what does not, what to read again.

    What fits worst comes first, by the row to read again or to leave out:

        floatwall survey basement --leave-out 17:down
    """
    from survey.cli.delivery import check_files, deliver, table_targets
    from survey.cli.steps import level, open_job, read_book, survey_fails
    from survey.slab.judgement import judge

    request = Request(**options)
    check_files(table_targets(request, "survey"), request)
    job = open_job(request)
    heights = level(read_book(request, job), job)
    judged = judge(heights, job)
    deliver(SurveyResults(judged=judged, job=job, request=request), request)
    if request.check and (survey_fails(heights) or judged.suspects):
        context.exit(CHECK_FAILED)


@dataclass(frozen=True, kw_only=True, eq=False)
class SurveyResults:
    """An adjusted survey in each form it can be asked for."""

    judged: Judgement
    job: Job
    request: Request

    def record(self) -> Mapping[str, Any]:
        """The object --json prints."""
        from survey.sheets.record import survey_record

        record = survey_record(self.judged, self.job)
        return of_wall(record, self.request.wall) if self.request.wall else record

    def tables(self) -> Mapping[str, bytes]:
        """The files --csv writes, by name."""
        from survey.cli.steps import ruler_of
        from survey.sheets.tables import survey_tables

        ruler = ruler_of(self.request, self.job)
        return survey_tables(self.judged, self.job, ruler=ruler)

    def blocks(self) -> Sequence[Block]:
        """The report on the terminal."""
        from survey.cli.steps import ruler_of
        from survey.sheets.text_survey import answer_blocks, survey_blocks

        ruler = ruler_of(self.request, self.job)
        if self.request.quiet:
            return answer_blocks(self.judged, self.job, ruler)
        return survey_blocks(
            self.judged,
            self.job,
            ruler,
            wall=self.request.wall,
            detail=self.request.verbose,
        )


def of_wall(record: Mapping[str, Any], wall: str) -> dict[str, Any]:
    """The record with only what belongs to one wall in its lists, and what belongs to none."""
    wanted = wall.strip().casefold()

    def kept(value: Any) -> Any:
        if not isinstance(value, list):
            return value
        return [
            item
            for item in value
            if not isinstance(item, dict) or (item.get("wall") or wanted).casefold() == wanted
        ]

    return {key: kept(value) for key, value in record.items()}
