"""Compiles a .typ template, in a process of its own: the compiler has no limits of time and memory itself.

Run as a program (`typeset.py` does): a line of JSON on standard input; the PDF on standard output, or on standard error
why there is none. It imports nothing of the register.
"""

import json
import resource
import sys

import typst

MEMORY_BYTES = 1024**3
CPU_S = 60
STANDARD = "a-3a"


def limit():
    """Nothing is written to disk, no further process is started."""
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def compiled(*, template, root, fonts, given):
    """The bytes of the PDF. A warning is an error: a typeface that is not found is one, and gives empty sheets."""
    pdf, warnings = typst.compile_with_warnings(
        template,
        root=root,
        font_paths=fonts,
        ignore_system_fonts=True,
        sys_inputs={"given": given},
        pdf_standards=[STANDARD],
    )
    if warnings:
        raise typst.TypstError("; ".join(str(warning) for warning in warnings))
    return pdf


if __name__ == "__main__":
    limit()
    try:
        pdf = compiled(**json.load(sys.stdin))
    except typst.TypstError as error:
        sys.exit(f"{error} {getattr(error, 'diagnostic', '') or ''}")
    sys.stdout.buffer.write(pdf)
