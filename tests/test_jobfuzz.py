"""Whatever stands in a job file, it gives a job or a fault in our own words."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey.errors import SurveyError
from survey.field.jobfile import read_job
from survey.field.jobwords import hints_of, key_of
from survey.job import LISTS, TABLES, Door, Job, Under, resolve

KEYS = st.sampled_from(
    sorted(
        {
            key_of(name)
            for _, record in (*TABLES.values(), *LISTS.values())
            for name in hints_of(record)
        }
    )
)
HEADINGS = st.sampled_from(
    [f"[{t}]" for t in TABLES]
    + [f"[[{t}]]" for t in LISTS]
    + [
        "[[wall.door]]",
        "[[wall.under]]",
        "[wall.float]",
        "[wall]",
        "[[float]]",
        "[float.rise]",
        "[x",
    ]
)
VALUES = st.one_of(
    st.sampled_from(
        ['"1-1/2"', "1-1/2", '16"', "“N”", "4/10/2027", "nan", "-inf", "1e308", "[", "{}"]
    ),
    st.sampled_from(
        ["[1, 2]", '["a"]', "[[1]]", "true", "2027-10-04", "07:30:00", '"""', '"\\u202e"']
    ),
    st.sampled_from(
        ["0x" + "f" * 9_000, "9" * 5_000, "9" * 400, "[" * 2_000, '"../x"', "{ a.b = 1 }"]
    ),
    st.sampled_from(["2027-10-04T07:30:00Z", '"2x4"', '"auto"', "'12\\' 4'", '{ near_1 = "x" }']),
    st.text(max_size=20).map(repr),
    st.floats().map(str),
    st.integers().map(str),
)
LINES = st.one_of(
    HEADINGS,
    st.tuples(KEYS, VALUES).map(" = ".join),
    KEYS.map("{}.x = 1".format),
    st.text(max_size=30),
)


@settings(max_examples=200)
@given(lines=st.lists(LINES, max_size=12))
def test_whatever_is_in_it_a_job_file_gives_a_job_or_our_error(
    lines: list[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    file = tmp_path_factory.mktemp("job") / "job.toml"
    file.write_text("\n".join(lines), encoding="utf-8", errors="replace", newline="")
    try:
        job = read_job(file)
    except SurveyError as error:
        assert error.faults or "not UTF-8" in error.message
        for fault in error.faults:
            assert fault.wanted
            assert len(str(fault)) < 700
    else:
        assert isinstance(job, Job)


# Values as TOML writes them: every one parses, few are what is wanted.
SOUND = st.recursive(
    st.one_of(
        st.floats().map(str),
        st.integers(-(10**30), 10**30).map(str),
        st.floats(0, 200).map(str),
        st.sampled_from(['"1-1/2"', '"92 5/8"', '"3 mm at 10 m"', '"2x4"', '"auto"', '""', '"x"']),
        st.sampled_from(["true", "2027-10-04", "07:30:00", "2027-10-04T07:30:00", '"../x.csv"']),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda each: f"[{', '.join(each)}]"),
        inner.map("{{ at = {}, width = 30 }}".format),
    ),
    max_leaves=4,
)


def table_of(heading: str, record: type) -> st.SearchStrategy[str]:
    """A table under its heading with some of its own keys."""
    keys = st.sampled_from([key_of(name) for name in hints_of(record) if name != "overrides"])
    return st.dictionaries(keys, SOUND, max_size=4).map(
        lambda made: "\n".join([heading, *(f"{key} = {value}" for key, value in made.items())])
    )


@settings(max_examples=200)
@given(
    tables=st.tuples(*(table_of(f"[{name}]", record) for name, (_, record) in TABLES.items())),
    lists=st.lists(
        st.one_of([table_of(f"[[{name}]]", record) for name, (_, record) in LISTS.items()]),
        max_size=4,
    ),
    walls=st.lists(
        st.one_of(
            st.integers(0, 3).map('[[wall]]\nname = "N{}"\nlength = 100'.format),
            table_of("[[wall.door]]", Door),
            table_of("[[wall.under]]", Under),
            st.floats(-1e9, 1e9).map("[[wall.door]]\nat = {}\nwidth = 30".format),
        ),
        max_size=5,
    ),
)
def test_values_of_any_kind_under_the_right_key_give_a_job_or_our_error(
    tables: tuple[str, ...],
    lists: list[str],
    walls: list[str],
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    file = tmp_path_factory.mktemp("job") / "job.toml"
    file.write_text("\n".join([*tables, *walls, *lists]), encoding="utf-8", newline="")
    try:
        job = read_job(file)
    except SurveyError as error:
        assert error.faults
        assert all(fault.wanted for fault in error.faults)
    else:
        assert all(resolve(job, wall.name).stud.width > 0 for wall in job.walls)
