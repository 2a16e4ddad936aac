# `make` alone lists what there is. To change a default: make demo PORT=8001 VENV=/path/to/venv PYTHON=python3.12
SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.ONESHELL:
.DEFAULT_GOAL := help
.NOTPARALLEL:
MAKEFLAGS += --no-print-directory

PYTHON ?= python3
VENV ?= .venv
PORT ?= 8000
BIND ?= 127.0.0.1:$(PORT)
# Simultaneous requests: processes × threads. Composing a large document fills one process.
WEB_PROCESSES ?= 2
WEB_THREADS ?= 4
# One for each processor: what a process builds for many tests, a further one would only build once more.
TEST_PROCESSES ?= $(shell nproc)
# One more: a browser test waits for its browser.
WALK_PROCESSES ?= $(shell echo $$(( $$(nproc) + 1 )))
# Of backups: how many stay (all, when empty), which is restored; where a SQLite register moves to.
KEEP ?=
ARCHIVE ?=
TO ?=
FUZZ_REQUESTS ?= 20000
FUZZ_SEED ?= 2026
ALTERED_PAPERS ?= 1000
ALTERED_ROWS ?= 200
KILLS ?= 200
MUTANTS ?= 200
SEED ?= 2026
# Begin of a path: only these files are mutated. Files of tests: only these are asked.
IN ?=
TESTS ?=
# The demo has its own database and its own (published) passwords; it must never mix with a real register.
DEMO_DATA := $(CURDIR)/var/demo

# fonts-dejavu-core: the signs (Ω ≤ ● ▲ ■ →) that the vendored typefaces lack, on paper.
RUN_LIBRARIES := python3-venv libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core
# chromium-headless-shell: Chromium without its windows, which it would draw for nobody at almost the cost of the page.
# libatomic1: the program that Playwright brings along is linked against it.
# spin, gcc, libc6-dev: a model checker, and what it needs to compile the models.
TEST_TOOLS := chromium-headless-shell libatomic1 poppler-utils qpdf softhsm2 ngspice spin gcc libc6-dev

PY := $(VENV)/bin/python
# worksteal: each process takes a stretch of neighbours, so that what a module makes is made once. The tests are kept as
# compiled (in __pycache__), or every process of every run would compile all of them again.
PYTEST := env -u PYTHONDONTWRITEBYTECODE $(PY) -m pytest --dist worksteal -n $(TEST_PROCESSES)
GUNICORN := $(PY) -m gunicorn sites_registry.wsgi --bind $(BIND) --worker-class gthread \
	--workers $(WEB_PROCESSES) --threads $(WEB_THREADS) --timeout 120 --max-requests 2000 \
	--max-requests-jitter 200 --no-control-socket --logger-class sites_registry.gunicorn_logs.RedactedLog

# What asks no database, counts what Django asks it, or goes through pages that tests/fuzz opens and posts to on PostgreSQL
# as well: the same on both, so it runs once.
THE_SAME_ON_ANY_DATABASE := tests/upgrade $(wildcard tests/*/*/test_*pages.py) tests/access tests/browser tests/inspections/test_points/test_readings_against_record.py \
	tests/inspections/demo/test_demo.py tests/zones/small_systems tests/zones/engineering tests/zones/plots tests/queries \
	$(wildcard tests/*/*/test_paper*.py) tests/inspections/visit_pages/test_report.py tests/zones/panels/test_schedules.py tests/sites_registry/documents \
	tests/inspections/commissioning/test_plan.py tests/inspections/hand_overs tests/inspections/finding \
	tests/zones/device_lists/test_round_trip.py tests/zones/floor_plans/test_plan_papers.py tests/zones/floor_plans/test_uploads.py \
	tests/test_house.py tests/test_reading.py tests/test_progress.py tests/test_snapshots.py tests/sites_registry/test_modules.py \
	tests/inspections/overview tests/inspections/home tests/inspections/standing_matters tests/inspections/trends \
	tests/inspections/taken_along tests/zones/wiring/test_state.py tests/zones/wiring/test_lists.py tests/zones/labels \
	tests/zones/as_installed/test_changes.py tests/zones/cause_and_effect/test_simulator.py tests/zones/cause_and_effect/test_matrix.py \
	tests/inspections/settings_found tests/inspections/commissioning/test_commissioning_ahead.py \
	tests/inspections/commissioning/test_plan_on_a_visit.py tests/inspections/commissioning/test_hazards.py \
	tests/inspections/visits/test_floor_plan_of_visit.py tests/inspections/visits/test_ahead.py tests/inspections/test_headlines.py \
	tests/inspections/test_points/test_limits.py tests/inspections/test_points/test_rules_of_readings.py \
	tests/inspections/certificates/test_standing.py tests/inspections/certificates/test_conclusion.py \
	tests/zones/units/test_product_model_proposals.py tests/zones/panel_settings/test_sheet.py \
	tests/zones/panels/test_run_answers.py tests/zones/panels/test_answers.py tests/zones/panels/test_set_up.py \
	tests/zones/cause_and_effect/test_proof_page.py tests/zones/editing/test_add_another.py \
	tests/zones/calculators tests/mutants tests/inspections/calendars tests/inspections/reading_links \
	tests/inspections/certificates/test_signed_papers.py \
	tests/inspections/demo/test_design.py tests/inspections/demo/test_dates.py \
	tests/inspections/open_records/test_ifc.py tests/inspections/open_records/test_schema.py tests/inspections/open_records/test_handover_workbook.py \
	tests/inspections/demo/test_interrupted.py tests/sites_registry/test_data_folder.py \
	tests/sites_registry/test_make.py \
	tests/sites_registry/test_plain_words.py tests/sites_registry/test_requirements.py \
	tests/sites_registry/test_start.py tests/sites_registry/test_start_summary.py tests/sites_registry/test_styles.py tests/sites_registry/test_templates.py \
	tests/sites_registry/test_logs.py tests/sites_registry/test_vendor.py tests/kinds tests/zones/design_check tests/zones/materials \
	$(foreach name,how_to_add words states days spreadsheets navigation numbers look fields folded,tests/sites_registry/test_$(name).py)

# What takes as long as all other tests together and says little of one change: the paths of people in a browser, the
# whole demo, every address as every person, what each page asks of the database, whole small jobs, a made-up kind of
# device through the whole register, the starts of a new one and their refusals, evidence that is altered, papers that
# are signed, registers that are backed up and moved, buildings handed over, given out and taken over, visits taken
# along; proofs against another model checker, faults searched by the dozen, code that is broken on purpose.
WALKS := tests/browser tests/inspections/demo tests/access/test_urls.py tests/queries tests/zones/small_systems \
	tests/kinds/test_made_up_kind.py tests/sites_registry/test_start.py \
	tests/sites_registry/test_start_summary.py tests/sites_registry/test_data_folder.py tests/sites_registry/test_outages.py \
	tests/inspections/hand_overs tests/inspections/open_records tests/inspections/taken_along \
	tests/inspections/commissioning/test_commissioning_ahead.py tests/zones/device_lists/test_round_trip.py \
	tests/zones/design_check/test_paper.py tests/zones/calculators/test_locate_fault.py \
	tests/zones/engineering/test_fault_location.py tests/zones/engineering/test_two_faults.py \
	tests/zones/engineering/cause_and_effect/test_against_spin.py \
	tests/zones/engineering/cause_and_effect/test_reduction.py tests/mutants \
	tests/inspections/verification tests/inspections/certificates/test_signed_papers.py tests/sites_registry/backups

# Moments at which dates go wrong, and a zone of the machine: midnight on either side, New Year, 29 February, both changes
# of summer time, of which one gives an hour twice. Then what is tested at each, and the whole demo at one.
CLOCKS := 2026-12-09T23:50:00+00:00,Pacific/Kiritimati 2027-01-01T00:10:00+00:00,Europe/London \
	2027-03-28T00:59:00+00:00,Europe/London 2027-03-28T02:30:00+01:00,America/Los_Angeles \
	2027-10-31T01:30:00+01:00,Pacific/Kiritimati 2027-10-31T01:30:00+00:00,Europe/London \
	2028-01-01T00:10:00+00:00,America/Los_Angeles 2028-02-29T00:10:00+00:00,Europe/London
# Empty leaves the whole demo out, which takes two minutes.
WHOLE_DEMO_TOO ?= yes
WHOLE_DEMO := tests/clock/test_demo_at_this_moment.py::test_the_demo_loads_and_nothing_lies_ahead[whole]
AT_THE_CLOCKS := tests/clock tests/inspections/test_due.py tests/inspections/log_book/test_log_book.py --deselect $(WHOLE_DEMO)

# What is made from here on is for this account to write, for its group to read, for nobody else.
define USE_REAL_REGISTER
umask 027
export REGISTER_DEBUG=0 REGISTER_DATA_DIR="$${REGISTER_DATA_DIR:-$(CURDIR)/var}" REGISTER_BIND="$(BIND)"
REGISTER_SECRET_KEY=$${REGISTER_SECRET_KEY:-$$(.ci/secret_key "$$REGISTER_DATA_DIR/secret_key")}
export REGISTER_SECRET_KEY
endef

# The lock is shared by all that load or serve the demo, and needed whole to throw it away.
define USE_DEMO
umask 027
mkdir -p "$$(dirname "$(DEMO_DATA)")"
exec 9>>"$(DEMO_DATA).lock"
flock --shared --nonblock 9 || { echo "The demo is being thrown away in another window. Wait for that." >&2; exit 1; }
export REGISTER_DATA_DIR="$(DEMO_DATA)" REGISTER_BIND="$(BIND)"
endef

.PHONY: help demo demo-reset develop serve backup restore to-postgres first-log-in test test-walks test-upgrade test-postgres test-clock fuzz trial altered killed mutants lint bench screenshots gallery \
	packages test-packages run-libraries test-tools postgres port-is-free demo-data

help: ## List what can be made
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-15s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

demo: port-is-free demo-data ## Try the register with invented buildings on http://127.0.0.1:8000
	@$(USE_DEMO)
	export REGISTER_DEBUG=0
	REGISTER_SECRET_KEY=$$(.ci/secret_key "$(DEMO_DATA)/secret_key")
	export REGISTER_SECRET_KEY
	$(PY) manage.py collectstatic --no-input --verbosity 0
	$(PY) manage.py start_summary
	$(PY) manage.py load_demo --log-ins
	printf '\nOpen http://$(BIND)/ (Ctrl-C stops the demo; make demo-reset starts it afresh)\n\n'
	$(PY) manage.py compose_papers --watch &
	exec $(GUNICORN) --log-level warning

demo-reset: ## Throw away what was entered in the demo and load it afresh
	@if [ -n "$${DATABASE_URL:-}" ]; then
		echo "DATABASE_URL is set: a demo in that database is not thrown away by this command." >&2
		exit 1
	fi
	$(USE_DEMO)
	flock --nonblock 9 || { echo "The demo is being served or loaded. Stop that first (Ctrl-C in its window)." >&2; exit 1; }
	rm -rf "$(DEMO_DATA)"
	exec 9>&-
	$(MAKE) demo-data
	echo "The demo is as new. Start it: make demo"

develop: port-is-free demo-data ## Serve the demo from the sources, reloading when they change
	@$(USE_DEMO)
	export REGISTER_DEBUG=1
	$(PY) manage.py start_summary
	$(PY) manage.py load_demo --log-ins
	exec $(PY) manage.py runserver $(BIND)

serve: port-is-free packages ## Serve a real register; its settings come from the environment (DEVELOPERS.md)
	@$(USE_REAL_REGISTER)
	echo "Bringing the database up to date and collecting the static files (the first time, half a minute)"
	$(PY) manage.py migrate --no-input --verbosity 0
	$(PY) manage.py install_protocols --verbosity 0
	$(PY) manage.py enter_in_ledger --if-empty
	$(PY) manage.py collectstatic --no-input --verbosity 0
	$(PY) manage.py start_summary
	printf '\nThe register is served on http://$(BIND)/. Ctrl-C stops it.\n\n'
	$(PY) manage.py compose_papers --watch &
	exec $(GUNICORN)

backup: packages ## Copy the running register into REGISTER_BACKUP_DIR: make backup KEEP=30
	@$(USE_REAL_REGISTER)
	$(PY) manage.py backup $(if $(KEEP),--keep $(KEEP))

restore: packages ## Restore a backup into an empty place and compare: make restore ARCHIVE=/backups/register-….zip
	@$(USE_REAL_REGISTER)
	$(PY) manage.py restore "$(ARCHIVE)"

to-postgres: packages ## Move a stopped SQLite register into an empty PostgreSQL: make to-postgres TO=postgres://…
	@$(USE_REAL_REGISTER)
	$(PY) manage.py to_postgres "$(TO)"

first-log-in: packages ## Make the first office log-in of a real register; the others are invited from there
	@$(USE_REAL_REGISTER)
	$(PY) manage.py migrate --no-input --verbosity 0
	$(PY) manage.py first_log_in

# Strange requests are many and seldom tell something new: `make fuzz` sends them, and .ci/run does. The migrations since
# an older register take a minute, and who did not touch one learns nothing: `make test-upgrade`, and .ci/run does.
test: test-tools test-packages ## Run the tests on SQLite, in less than five minutes on two processors
	@$(PYTEST) tests --ignore tests/fuzz --ignore tests/upgrade $(foreach path,$(WALKS),--ignore $(path)) $(PYTEST_ARGS)

test-walks: test-tools test-packages ## Tests that take long: paths of people in a browser, the demo, every address as every person
	@$(PYTEST) -n $(WALK_PROCESSES) $(WALKS) $(PYTEST_ARGS)

test-upgrade: test-packages ## Bring a register of an older version, with its rows, to this one
	@env -u PYTHONDONTWRITEBYTECODE $(PY) -m pytest -n 2 --dist loadfile tests/upgrade $(PYTEST_ARGS)

test-postgres: postgres test-packages ## Run the tests that reach the database on a throw-away PostgreSQL
	@.ci/with_postgres $(PYTEST) tests $(foreach path,$(THE_SAME_ON_ANY_DATABASE),--ignore $(path)) $(PYTEST_ARGS)

test-clock: test-packages ## Load the demo and test what depends on dates at midnight, New Year, 29 February, summer time
	@{
		[ -z "$(WHOLE_DEMO_TOO)" ] || printf '%s\0' $(PY) 2028-02-29T03:00:00+00:00 Asia/Kolkata "$(WHOLE_DEMO)"
		for clock in $(CLOCKS); do printf '%s\0' $(PY) $${clock/,*} $${clock#*,} "$(AT_THE_CLOCKS)"; done
	} | xargs -0 -n 4 -P $(TEST_PROCESSES) .ci/at_a_moment

lint: test-packages ## Check format, code, templates, migrations, deployment settings and import directions
	@data=$$(mktemp -d)
	trap 'rm -rf "$$data"' EXIT
	export REGISTER_DATA_DIR="$$data" REGISTER_DEBUG=0 REGISTER_BEHIND_TLS=1
	export REGISTER_ALLOWED_HOSTS=register.example REGISTER_PUBLIC_URL=https://register.example
	export REGISTER_CSRF_TRUSTED_ORIGINS=https://register.example
	REGISTER_SECRET_KEY=$$(.ci/secret_key "$$data/secret_key" 2>/dev/null)
	export REGISTER_SECRET_KEY
	set -x
	bash -n .ci/run && bash -n .ci/at_a_moment && bash -n .ci/port_is_free && bash -n .ci/secret_key && bash -n .ci/system_packages && bash -n .ci/with_postgres
	$(PY) -m ruff format --check .
	$(PY) -m ruff check .
	$(VENV)/bin/djangofmt --check templates
	$(PY) -m djlint --lint --quiet templates
	$(PY) manage.py makemigrations --check --dry-run
	$(PY) manage.py check --deploy --fail-level WARNING
	$(PY) .ci/unused.py
	$(PY) -c 'from importlinter.cli import lint_imports_command; lint_imports_command()' --no-logo

fuzz: test-tools test-packages ## Send thousands of strange requests: make fuzz FUZZ_REQUESTS=20000 FUZZ_SEED=7
	@FUZZ_REQUESTS=$(FUZZ_REQUESTS) FUZZ_SEED=$(FUZZ_SEED) $(PYTEST) tests/fuzz $(PYTEST_ARGS)

mutants: test-tools test-packages ## Break the code in small ways and see whether tests notice: make mutants MUTANTS=200 SEED=7
	@$(PY) -m tests.mutants --mutants $(MUTANTS) --seed $(SEED) --inside "$(IN)" --tests $(TESTS)

trial: test-tools test-packages ## A day without signal at its whole length: make trial TRIAL_POSITIONS=60
	@TRIAL_POSITIONS=$(or $(TRIAL_POSITIONS),300) $(PY) -m pytest tests/trials/test_day_without_signal.py -s $(PYTEST_ARGS)

altered: test-tools test-packages ## Alter 1,000 papers and 200 rows of evidence, and see that each is told
	@ALTERED_PAPERS=$(ALTERED_PAPERS) ALTERED_ROWS=$(ALTERED_ROWS) $(PY) -m pytest tests/trials/test_altered_evidence.py -s $(PYTEST_ARGS)

killed: test-tools test-packages ## Kill the register 200 times in the middle of what it does, and see that what it told stands
	@KILLS=$(KILLS) $(PY) -m pytest tests/trials/test_killed.py -s $(PYTEST_ARGS)

bench: test-packages ## Measure: pages and documents against a register of realistic size
	@$(PY) -m pytest tests/benchmarks -s $(PYTEST_ARGS)

screenshots: test-tools test-packages ## Take pictures of the main pages, for a person to look at
	@$(PY) tests/browser/screenshots.py

gallery: test-tools test-packages ## Take pictures of every part in every state into .pictures/gallery, for a person to look at
	@GALLERY=.pictures/gallery $(PY) -m pytest tests/browser/test_gallery.py -q

# --- what the above stand on ---

demo-data: packages
	@$(USE_DEMO)
	export REGISTER_DEBUG=1
	$(PY) manage.py migrate --no-input --verbosity 0
	$(PY) manage.py load_demo --if-empty
	$(PY) manage.py enter_in_ledger --if-empty

run-libraries:
	@.ci/system_packages "To run the register" $(RUN_LIBRARIES)

# All at once: one announcement, one question for root's password.
test-tools:
	@.ci/system_packages "To run and test the register" $(RUN_LIBRARIES) $(TEST_TOOLS)

postgres:
	@.ci/system_packages "To test on PostgreSQL" $(RUN_LIBRARIES) $(TEST_TOOLS) postgresql

# $(1): the list to install. A copy of the installed list, not its date: a checkout touches dates, and another branch
# may pin other versions.
define INSTALL
if ! cmp -s $(1) $(VENV)/installed_$(1); then
	echo "Installing the Python packages of $(1) into $(VENV) (one to three minutes)"
	$(PY) -m pip install --quiet --disable-pip-version-check --requirement $(1) || {
		echo "These Python packages could not be installed; the lines above say why. Check the network, then start again." >&2
		exit 1
	}
	cp $(1) $(VENV)/installed_$(1)
fi
endef

packages: run-libraries
	@if ! $(PY) -c '' 2>/dev/null; then
		$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || {
			echo "$$($(PYTHON) --version) is too old: the register needs Python 3.11 or later (make PYTHON=python3.12 …)." >&2
			exit 1
		}
		echo "Creating the virtual environment $(VENV)"
		rm -f $(VENV)/installed_requirements*.txt
		$(PYTHON) -m venv $$([ ! -e $(VENV)/pyvenv.cfg ] || echo --clear) $(VENV)
	fi
	$(call INSTALL,requirements.txt)

test-packages: packages
	@$(call INSTALL,requirements-test.txt)

port-is-free:
	@.ci/port_is_free "$(BIND)" "make $(firstword $(MAKECMDGOALS))"
