"""`floatwall new`: a folder with settings, an empty readings file and a sheet to fill by hand."""

from __future__ import annotations

from pathlib import Path

import click

from survey.cli.options import DEBUG, OVERWRITE

READINGS = """\
# One row a spot: down to the slab and up to the joist from the beam of one set-up of the laser.
# Lengths as on the tape (52 3/8) or decimal. Lines that start with # are skipped.
setup,wall,station,down,up,note
"""


@click.command(short_help="Make a job to fill in, or an example.")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False), metavar="DIR")
@click.option("--example", is_flag=True, help="Fill it with a small invented basement.")
@OVERWRITE
@DEBUG
def new(folder: Path, *, example: bool, overwrite: bool) -> None:
    """Make a job in the folder DIR: job.toml, readings.csv and field_sheet.txt.

    Every setting stands in job.toml with its default and what it means:

        floatwall new basement
    """
    from survey.sheets.files import check_targets, write_files

    contents = _example() if example else _empty()
    targets = {folder / name: data for name, data in contents.items()}
    check_targets(targets, overwrite=overwrite)
    write_files(targets)
    click.echo(f"Made {', '.join(contents)} in {folder}")
    click.echo(f"Next: floatwall plan {folder}" if example else _next(folder))


def _next(folder: Path) -> str:
    return (
        f"Next: print {folder / 'field_sheet.txt'}, read the walls, type the readings into "
        f"{folder / 'readings.csv'}, then: floatwall plan {folder}"
    )


def _empty() -> dict[str, bytes]:
    from survey.sheets.fieldsheet import field_sheet
    from survey.sheets.jobtemplate import job_template

    return {
        "job.toml": job_template().encode(),
        "readings.csv": READINGS.encode(),
        "field_sheet.txt": field_sheet().encode(),
    }


def _example() -> dict[str, bytes]:
    from survey.example import FILES, example_folder

    return {name: (example_folder() / name).read_bytes() for name in FILES}
