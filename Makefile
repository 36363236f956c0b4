# make plan   the plan of the sample basement        make test   all tests
# make check  style and types                        make clean  forget the environments
PYTHON ?= python3
RUN := .venv/run
DEV := .venv/dev
export OPENBLAS_NUM_THREADS ?= 1
export PIP_DISABLE_PIP_VERSION_CHECK := 1

.PHONY: plan test check clean

plan: $(RUN)/.ready
	@$(RUN)/bin/python -m survey plan sample_surveys/quarry_house

test: $(DEV)/.ready
	$(DEV)/bin/python -m pytest

check: $(DEV)/.ready
	$(DEV)/bin/ruff check
	$(DEV)/bin/ruff format --check
	$(DEV)/bin/mypy

clean:
	rm -rf .venv

# Python runs the checkout itself (make sets no -e install, which would leave build files behind):
# the package is found because the commands run in this folder.
$(RUN)/.ready: pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "floatwall needs Python 3.11 or newer: make PYTHON=python3.12 ...")'
	@$(PYTHON) -m venv $(RUN)
	@$(RUN)/bin/python -c 'import tomllib; print("\n".join(tomllib.load(open("pyproject.toml", "rb"))["project"]["dependencies"]))' > $(RUN)/wanted.txt
	@$(RUN)/bin/pip install --quiet --requirement $(RUN)/wanted.txt >&2
	@touch $@

$(DEV)/.ready: pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "floatwall needs Python 3.11 or newer: make PYTHON=python3.12 ...")'
	@$(PYTHON) -m venv $(DEV)
	@$(DEV)/bin/python -c 'import tomllib; p = tomllib.load(open("pyproject.toml", "rb"))["project"]; o = p["optional-dependencies"]; print("\n".join(w for w in p["dependencies"] + o["test"] + o["dev"] if not w.startswith("floatwall")))' > $(DEV)/wanted.txt
	@$(DEV)/bin/pip install --quiet --requirement $(DEV)/wanted.txt >&2
	@touch $@
