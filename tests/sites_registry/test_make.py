"""The commands of the Makefile: what they look at first, and what they refuse."""

import fcntl
import os
import socket
import subprocess

import pytest

from tests.sites_registry.test_start import ROOT


def make(*arguments):
    # Without what an outer make hands down, and without the settings of whoever runs the tests.
    environment = {"PATH": os.environ["PATH"], "HOME": os.environ.get("HOME", "/")}
    return subprocess.run(["make", *arguments], cwd=ROOT, env=environment, capture_output=True, text=True, timeout=300)


@pytest.fixture
def nothing_installed(tmp_path):
    """Names a virtual environment and a demo that do not exist; after the test they still must not."""
    venv, demo = tmp_path / "venv", tmp_path / "var" / "demo"
    yield f"VENV={venv}", f"DEMO_DATA={demo}"
    assert not venv.exists() and not demo.exists()


@pytest.mark.parametrize("command", ["demo", "serve", "develop"])
@pytest.mark.parametrize("port", ["abc", "0", "65536", "-1", "80 80"])
def test_a_port_that_is_none_is_told_before_anything_is_installed(nothing_installed, command, port):
    done = make(command, f"PORT={port}", *nothing_installed)
    assert done.returncode != 0
    assert f"The address to serve is '127.0.0.1:{port}'; expected HOST:PORT with a port from 1 to 65535" in done.stderr
    assert f"make {command} PORT=8001" in done.stderr and "Traceback" not in done.stderr


@pytest.mark.parametrize("command", ["demo", "serve", "develop"])
def test_a_port_that_is_taken_is_told_before_anything_is_installed(nothing_installed, command):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        done = make(command, f"PORT={port}", *nothing_installed)
    assert done.returncode != 0
    assert f"127.0.0.1:{port} cannot be served (Address already in use)." in done.stderr
    assert f"take another port: make {command} PORT=" in done.stderr


@pytest.mark.parametrize("folder", ["var", "new folder/var"])
def test_the_demo_is_not_thrown_away_while_it_is_served_on_whatever_port(tmp_path, folder):
    demo = tmp_path / folder / "demo"
    demo.mkdir(parents=True)
    (demo / "register.sqlite3").write_text("entered by somebody")
    with (tmp_path / folder / "demo.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_SH)  # as `make demo` holds it
        done = make("demo-reset", f"DEMO_DATA={demo}", f"VENV={tmp_path / 'venv'}")
    assert done.returncode != 0 and "The demo is being served or loaded. Stop that first" in done.stderr
    assert (demo / "register.sqlite3").read_text() == "entered by somebody"


def test_serving_the_demo_takes_the_lock_and_running_it_twice_does_not_shut_itself_out():
    recipe = make("demo", "--dry-run").stdout
    assert recipe.count("flock --shared --nonblock 9") == 2  # loading and serving


@pytest.mark.parametrize("command", ["test", "test-postgres"])
def test_the_system_packages_are_named_in_one_announcement(command):
    calls = [line for line in make(command, "--dry-run").stdout.splitlines() if ".ci/system_packages" in line]
    first, *others = (set(line.split('" ')[1].split()) for line in calls)
    assert {"python3-venv", "chromium-headless-shell", "ngspice", "poppler-utils"} <= first
    assert all(later <= first for later in others)


def test_the_demo_needs_nothing_that_only_tests_need():
    recipe = make("demo", "--dry-run").stdout
    assert "requirements.txt" in recipe and "requirements-test.txt" not in recipe and "chromium" not in recipe
