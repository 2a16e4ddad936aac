"""`make mutants`: a sample of mutants, a table of how many of them the tests kill, and each survivor as a change."""

import argparse
import difflib
import math
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from tests.mutants.equal import change_of, named_equal
from tests.mutants.parts import ENGINEERING, SERVICES, files_of, room_of, tests_of

FLOOR = 0.85
MOST_MINUTES = 30  # two quiet cores take some 18
# Tests of one mutant: as many as take this long, those that reach it first.
MOST_TESTS_CPU_S = 25
TELLING = "_told.py::"  # tests that compare all that is said with what was approved: few, and they notice most
START_CPU_S = 15  # for importing and collecting, many times what it takes
AGAINST_USUAL = 5  # a mutant that takes so many times as long as the code does not end


def main():
    parser = argparse.ArgumentParser(prog="make mutants")
    parser.add_argument("--mutants", type=int, default=200)
    parser.add_argument("--seed", type=int, default=2026)
    parser.add_argument("--inside", default="", help="only files whose path begins like this")
    parser.add_argument("--tests", nargs="*", default=[], help="only these files of tests")
    parser.add_argument("--minutes", type=float, default=MOST_MINUTES)
    parser.add_argument("--processes", type=int, default=os.cpu_count())
    parser.add_argument("--in-copy", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    sys.exit(_run(asked) if asked.in_copy else _run_in_a_copy())


def _run_in_a_copy():
    """The tree as it stands, files not yet committed too, is copied: what is edited meanwhile changes nothing."""
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        listed = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
        for name in subprocess.run(listed, capture_output=True, check=True, text=True).stdout.split("\0"):
            if name and Path(name).exists():
                Path(folder, name).parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(name, Path(folder, name))
        environment = {**os.environ, "REGISTER_DATA_DIR": f"{folder}/var", "REGISTER_DEBUG": "1"}
        environment["PYTEST_DEBUG_TEMPROOT"] = folder  # where a process that is ended leaves its database
        # Each process has a database of its own; and what is compiled once is kept.
        for name in ("DATABASE_URL", "PYTHONDONTWRITEBYTECODE"):
            environment.pop(name, None)
        again = [sys.executable, "-m", "tests.mutants", *sys.argv[1:], "--in-copy"]
        return subprocess.run(again, cwd=folder, env=environment, check=False).returncode


def _run(asked):
    from tests.mutants import asking

    started = time.monotonic()
    ends = started + asked.minutes * 60
    files = {part: [p for p in files_of(part) if str(p).startswith(asked.inside)] for part in (ENGINEERING, SERVICES)}
    parts = [part for part in files if files[part]]
    if not parts:
        print(f"Nothing that is mutated begins with '{asked.inside}'.", file=sys.stderr)
        return 2
    with ProcessPoolExecutor(asked.processes) as pool:
        drawn = [one for part in parts for one in _sample(files[part], asked.mutants // len(parts), asked.seed, pool)]
    named = named_equal()
    mutants = [one for one in drawn if change_of(one) not in named]
    random.Random(asked.seed).shuffle(mutants)
    print(f"{len(mutants)} mutants of {sum(map(len, files.values()))} files (seed {asked.seed}).", flush=True)
    if len(drawn) > len(mutants):
        print(f"{len(drawn) - len(mutants)} more do what the code does: tests/mutants/equal.toml says why.", flush=True)
    tests = asked.tests or [path for part in parts for path in tests_of(part)]
    mutated = [path for part in parts for path in files[part]]
    reached = asking.learn(mutated, _shared_out(tests, asked.processes), asked.seed, ends)
    if reached.failed:
        print("Fail without any mutant, so they are not asked:", *reached.failed, sep="\n  ", flush=True)
    print(f"{len(reached.cpu_s)} tests known after {time.monotonic() - started:.0f} s.", flush=True)
    fates = _try_all(mutants, reached, asked, ends)
    return report(mutants, fates, time.monotonic() - started)


def _sample(files, wanted, seed, pool):
    from tests.mutants import making

    every = [
        (path, n)
        for path, count in zip(files, pool.map(making.count_mutants, files), strict=True)
        for n in range(count)
    ]
    chosen = sorted(random.Random(seed).sample(every, min(wanted, len(every))))
    by_file = {}
    for path, number in chosen:
        by_file.setdefault(path, []).append(number)
    return [mutant for path, numbers in by_file.items() for mutant in making.mutants_of(path, numbers)]


def _shared_out(tests, shares):
    """Large files first, each to the share that has least so far."""
    groups = [[0, []] for _ in range(shares)]
    for path in sorted(tests, key=lambda path: -Path(path).stat().st_size):
        least = min(groups, key=lambda group: group[0])
        least[0] += Path(path).stat().st_size
        least[1].append(path)
    return [sorted(paths) for _, paths in groups if paths]


def tests_for(mutant, reached):
    """Names of tests, the likeliest to notice first; none where no test reaches the code."""
    lines = reached.tests.get(mutant.path, {})
    every = set(reached.cpu_s)
    if mutant.is_in_function:
        first = set().union(*(lines.get(line, ()) for line in mutant.statement))
        if not first:
            return []
        # What a fixture keeps for later tests is made in the first of them only: its neighbours may notice too.
        modules = {name.split("::")[0] for name in first}
        candidates = {name for name in every if name.split("::")[0] in modules}
    else:
        first, candidates = set().union(*lines.values()), every
    own = f"tests/{room_of(mutant.path)}/"
    namesake = f"{own}test_{Path(mutant.path).stem}.py"
    ranked = sorted(
        candidates,
        key=lambda name: (
            name not in first,
            not name.startswith(namesake),
            TELLING not in name,
            not name.startswith(own),
            reached.cpu_s[name],
            name,
        ),
    )
    chosen, total_s = [], 0
    for name in ranked:
        if not chosen or total_s + reached.cpu_s[name] <= MOST_TESTS_CPU_S:
            chosen.append(name)
            total_s += reached.cpu_s[name]
    return chosen


def _try_all(mutants, reached, asked, ends):
    """Which mutants were killed: by mutant True or False; those for which no time was left are missing."""
    from tests.mutants.asking import Trial

    fates, waiting, running = {}, list(reversed(mutants)), []
    while waiting or running:
        if time.monotonic() > ends:
            for trial in running:
                trial.stop()
            return fates
        while waiting and len(running) < asked.processes:
            mutant = waiting.pop()
            names = tests_for(mutant, reached)
            if names:
                cpu_s = START_CPU_S + AGAINST_USUAL * sum(reached.cpu_s[name] for name in names)
                running.append(Trial(mutant, names, reached.known, cpu_s, asked.seed))
            else:
                fates[mutant] = False
        time.sleep(0.05)
        for trial in [one for one in running if one.is_over()]:
            running.remove(trial)
            fates[trial.mutant] = trial.is_killed
            if len(fates) % 20 == 0:
                print(f"{len(fates)} of {len(mutants)} tried, {sum(fates.values())} killed.", flush=True)
    return fates


def report(mutants, fates, seconds):
    """Print the survivors and the table; the status to end with, 1 below the floor."""
    for mutant in sorted((one for one, killed in fates.items() if not killed), key=lambda one: (one.path, one.line)):
        print(f"\nsurvived: {mutant.path}:{mutant.line} (number {mutant.number})")
        before, after = Path(mutant.path).read_text().splitlines(), mutant.source.splitlines()
        print("\n".join(list(difflib.unified_diff(before, after, n=1, lineterm=""))[2:]))
    made, killed = Counter(), Counter()
    for mutant, is_killed in fates.items():
        for name in (room_of(mutant.path), _part_of(mutant)):
            made[name] += 1
            killed[name] += is_killed
    print(f"\n{'room':34}{'made':>6}{'killed':>8}{'survived':>10}{'% killed':>10}")
    for name in sorted(made, key=lambda name: (name.startswith("all "), name)):
        share = 100 * killed[name] / made[name]
        print(f"{name:34}{made[name]:6}{killed[name]:8}{made[name] - killed[name]:10}{share:10.1f}")
    below = sorted({_part_of(mutant) for mutant in mutants} - {*made})  # none of them was tried
    for name in sorted(name for name in made if name.startswith("all ")):
        low, high = _interval(killed[name], made[name])
        print(f"{name}: with 95 % confidence {100 * low:.0f} to {100 * high:.0f} % of all mutants")
        below += [name] if killed[name] < FLOOR * made[name] else []
    if untried := len(mutants) - len(fates):
        print(f"{untried} not tried: the time was up.")
    print(f"Took {seconds:.0f} s.")
    if below:
        print(f"Below the floor of {FLOOR:.0%}: {', '.join(below)}.", file=sys.stderr)
    return 1 if below or not fates else 0


def _part_of(mutant):
    return f"all {ENGINEERING if mutant.path.startswith('zones/engineering') else SERVICES}"


def _interval(hits, of, z=1.96):
    """Wilson's score interval of a share."""
    share, spread = hits / of, z * z / of
    middle = (share + spread / 2) / (1 + spread)
    half = z * math.sqrt(share * (1 - share) / of + spread / of / 4) / (1 + spread)
    return middle - half, middle + half


if __name__ == "__main__":
    main()
