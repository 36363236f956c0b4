"""A small invented job that ships with the package."""

from __future__ import annotations

from pathlib import Path

FILES = ("job.toml", "readings.csv")


def example_folder() -> Path:
    """Folder of the example job, to be read or copied."""
    return Path(__file__).parent
