# make plan    print the plan of the sample basement (the first time it makes an environment)
# make test    every test                  make test ARGS="-k lengths"    some of them
# make check   style and types             make clean    forget the environments
#
# All it needs is Python 3.11 or newer with its venv module. Another Python: make PYTHON=python3.13
PYTHON ?= python3
RUN := .venv/run
DEV := .venv/dev
ARGS ?=
export OPENBLAS_NUM_THREADS ?= 1
export PIP_DISABLE_PIP_VERSION_CHECK := 1

.PHONY: plan test check clean

plan: $(RUN)/.ready
	@$(RUN)/bin/python -m survey plan sample_surveys/quarry_house

test: $(DEV)/.ready
	$(DEV)/bin/python -m pytest $(ARGS)

check: $(DEV)/.ready
	$(DEV)/bin/ruff check
	$(DEV)/bin/ruff format --check
	$(DEV)/bin/mypy

clean:
	rm -rf .venv

# The commands run the checkout itself, because they run in this folder: the environments hold the
# packages it needs and never a copy of it, so nothing is stale and nothing is left beside the code.
NEW_ENOUGH = import sys; sys.exit(sys.version_info < (3, 11) and "floatwall needs Python 3.11 or newer, and $(PYTHON) is " + sys.version.split()[0] + ": make PYTHON=python3.13 if you have one")
PACKAGES = import sys, tomllib; project = tomllib.load(open("pyproject.toml", "rb"))["project"]; extras = project["optional-dependencies"]; print(*project["dependencies"], *(line for extra in sys.argv[1:] for line in extras[extra] if not line.startswith("floatwall")), sep="\n")

# $(call environment,FOLDER,EXTRAS): all it says goes to stderr, since stdout is for the plan.
define environment
@$(PYTHON) -c '$(NEW_ENOUGH)'
@echo 'Making the environment $(1): once, a minute or two' >&2
@$(PYTHON) -m venv $(1) >&2
@$(1)/bin/python -c '$(PACKAGES)' $(2) > $(1)/packages.txt
@$(1)/bin/python -m pip install --quiet --requirement $(1)/packages.txt >&2
@touch $(1)/.ready
endef

$(RUN)/.ready: pyproject.toml
	$(call environment,$(RUN),)

$(DEV)/.ready: pyproject.toml
	$(call environment,$(DEV),test dev)
