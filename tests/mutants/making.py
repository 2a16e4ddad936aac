"""Mutants of a file: each is the file with one small change, made by the operators of mutmut.

mutmut itself leaves out every decorated function (so each service, which is atomic) and everything outside of functions
(so each table); its operators do not.
"""

from dataclasses import dataclass
from pathlib import Path

import libcst as cst
from libcst.metadata import MetadataWrapper, PositionProvider
from mutmut.mutation.mutators import mutation_operators, operator_string

# Calls of which a test on SQLite can notice nothing: locks, and what is fetched along (tests/queries counts that).
NOT_NOTICED = {"select_for_update", "select_related", "prefetch_related", "defer", "only"}
# A mutant that only takes an argument off these tells nothing but that they need one; what stands in it is mutated.
ALWAYS_CRASH = {"len", "isinstance"}
# Arguments that change nothing where the code is right: of zip, and whether what the database holds is asked before.
GUARDS = {"strict", "validate_unique", "validate_constraints"}


@dataclass(frozen=True)
class Mutant:
    """A change of one file: which lines its statement has, and whether it is in a function or done at import."""

    path: str
    number: int
    line: int
    statement: range
    is_in_function: bool
    source: str


class _Maker(cst.CSTVisitor):
    METADATA_DEPENDENCIES = (PositionProvider,)

    def __init__(self):
        super().__init__()
        self.found = []
        self._statements, self._functions = [range(1)], 0

    def on_visit(self, node):
        if _is_left_out(node):
            if _is_not_noticed(node):
                node.func.visit(self)  # `things.filter(a).only("b")`: what stands before the dot is worth a mutant
            elif _always_crashes(node):
                for argument in node.args:
                    argument.value.visit(self)
            return False
        if isinstance(node, cst.SimpleStatementLine | cst.BaseCompoundStatement):
            self._statements.append(self._lines_of(node))
        self._functions += _depth(node)
        for kind, operator in mutation_operators:
            if isinstance(node, kind):
                for changed in _changes(operator, node):
                    if _takes_a_guard_away(node, changed):
                        continue
                    line = self.get_metadata(PositionProvider, node).start.line
                    self.found.append((node, changed, line, self._statements[-1], self._functions > 0))
        return True

    def on_leave(self, original_node):
        if _is_left_out(original_node):
            return
        if isinstance(original_node, cst.SimpleStatementLine | cst.BaseCompoundStatement):
            self._statements.pop()
        self._functions -= _depth(original_node)

    def _lines_of(self, node):
        """All lines of a simple statement; of a compound one those before its body."""
        where = self.get_metadata(PositionProvider, node)
        if isinstance(node, cst.SimpleStatementLine | cst.Match):
            return range(where.start.line, where.end.line + 1)
        body = self.get_metadata(PositionProvider, node.body)
        return range(where.start.line, max(body.start.line, where.start.line + 1))


def _depth(node):
    """Inside of a function code is run when it is called; but what its parameters are by default, at import."""
    if isinstance(node, cst.Parameters):
        return -1
    return int(isinstance(node, cst.FunctionDef | cst.Lambda))


def _changes(operator, node):
    """What an operator makes of a node; of a string only its first change, and none of words for people."""
    if operator is not operator_string:
        return operator(node)
    is_words = isinstance(node, cst.SimpleString) and " " in node.raw_value
    return [] if is_words else list(operator(node))[:1]


def _is_left_out(node):
    if isinstance(node, cst.Annotation | cst.Decorator | cst.Import | cst.ImportFrom):
        return True
    if _is_guard(node):
        return True
    if isinstance(node, cst.Expr) and isinstance(node.value, cst.SimpleString):  # a docstring
        return True
    return _is_not_noticed(node) or _always_crashes(node)


def _is_not_noticed(node):
    return isinstance(node, cst.Call) and _name_called(node) in NOT_NOTICED


def _always_crashes(node):
    return isinstance(node, cst.Call) and _name_called(node) in ALWAYS_CRASH


def _name_called(call):
    return call.func.attr.value if isinstance(call.func, cst.Attribute) else getattr(call.func, "value", None)


def _is_guard(node):
    return isinstance(node, cst.Arg) and node.keyword is not None and node.keyword.value in GUARDS


def _takes_a_guard_away(node, changed):
    if not isinstance(node, cst.Call) or not isinstance(changed, cst.Call):
        return False
    return [one for one in node.args if _is_guard(one)] != [one for one in changed.args if _is_guard(one)]


def _made(path):
    wrapper = MetadataWrapper(cst.parse_module(Path(path).read_text()))
    maker = _Maker()
    wrapper.visit(maker)
    return wrapper.module, maker.found


def count_mutants(path):
    return len(_made(path)[1])


def numbers_at(path, text):
    """Numbers of those mutants of a file that change a statement in which this text stands."""
    lines = {n for n, line in enumerate(Path(path).read_text().splitlines(), start=1) if text in line}
    return [number for number, (_, _, _, statement, _) in enumerate(_made(path)[1]) if lines & set(statement)]


def mutants_of(path, numbers):
    """Those mutants of a file that have these numbers."""
    module, found = _made(path)
    for number in numbers:
        node, changed, line, statement, is_in_function = found[number]
        source = module.deep_replace(node, changed).code
        yield Mutant(str(path), number, line, statement, is_in_function, source)
