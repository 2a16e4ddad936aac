"""The verdicts of the general model checker spin on a rule set: an opinion from outside the program."""

import shutil
import subprocess
import tempfile
from pathlib import Path

from tests.zones.engineering.cause_and_effect.promela import Model
from zones.engineering.cause_and_effect.properties import Property


def verdicts(ruleset):
    """What spin finds: {(group key, property)} broken, the group of SETTLES being "" for the whole panel.

    Raises AssertionError when a tool fails or the search was not exhaustive.
    """
    for tool in ("spin", "gcc"):
        assert shutil.which(tool), f"{tool} is not installed: install the Debian package {tool} (make test says how)."
    model = Model(ruleset)
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "panel.pml").write_text(model.text())
        _run(folder, "spin", "-a", "panel.pml")
        _run(folder, "gcc", "-w", "-O0", "-DSAFETY", "-DNOREDUCE", "-DVECTORSZ=4096", "-o", "pan", "pan.c")
        said = _run(folder, "./pan", "-E", "-m400000", "-w18")
    assert "errors: 0" in said, said
    assert "max search depth too small" not in said, said
    assert "out of memory" not in said, said
    seen = {model.checks.meanings[int(line.split()[1])] for line in said.splitlines() if line.startswith("SEEN ")}
    triggers = (Property.MANUAL_TRIGGER, Property.AUTOMATIC_TRIGGER)
    unopened = {(group.key, wanted) for group in ruleset.groups for wanted in triggers} - seen
    return {one for one in seen if one[1] not in triggers} | unopened


def _run(folder, *command):
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"{command[0]} failed:\n{done.stdout[-3000:]}\n{done.stderr[-3000:]}"
    return done.stdout
