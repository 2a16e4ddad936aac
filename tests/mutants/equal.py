"""Mutants that do what the code does, so that no test can notice them: equal.toml names each, with the reason."""

import tomllib
from pathlib import Path

TABLE = Path(__file__).with_name("equal.toml")


def named_equal():
    """What is let be: file, the lines as they are and as the mutant has them."""
    return {(one["file"], one["is"], one["becomes"]) for one in tomllib.loads(TABLE.read_text())["mutant"]}


def change_of(mutant):
    """File, changed lines before and after, without what stands in front of them: so `equal.toml` names a mutant."""
    before, after = Path(mutant.path).read_text().splitlines(), mutant.source.splitlines()
    while before and after and before[-1] == after[-1]:
        del before[-1], after[-1]
    same = next((n for n, (old, new) in enumerate(zip(before, after, strict=False)) if old != new), len(after))
    return mutant.path, _joined(before[same:]), _joined(after[same:])


def _joined(lines):
    return "\n".join(line.strip() for line in lines)
