"""How a PDF differs from the one that was issued. It imports nothing of the register.

Run as a program (`examining.py` does), because a stranger's file may be made to exhaust what reads it: a line of JSON
with the lengths of both files and the roots (hexadecimal), then both files, on standard input; sentences as JSON on
standard output. Without a second file it says what is attached to the first.
"""

import hashlib
import io
import json
import resource
import sys

from asn1crypto import x509
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko_certvalidator import ValidationContext

from inspections.certificates.own_loop import in_own_loop

MEMORY_BYTES = 1024**3
CPU_S = 20
NOT_OF_THE_PAGE = {"/Parent", "/P", "/StructParents", "/StructParent", "/Dest", "/A", "/Annots"}


def limit():
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def differences(given, kept, roots):
    """Sentences that say where `given` differs from `kept` (both bytes of a PDF); empty when they are the same.

    roots: DER bytes of the certificates by which the signature is judged.
    """
    if given == kept:
        return []
    found = _of_length(given, kept)
    try:
        reader = PdfFileReader(io.BytesIO(given), strict=False)
        found += _of_signature(reader, roots)
        issued = PdfFileReader(io.BytesIO(kept), strict=False)
        found += _of_pages(_pages(reader), _pages(issued))
        found += _of_attachments(_attachments(reader), _attachments(issued))
    except Exception:  # whatever makes a file of a stranger unreadable
        found.append("It cannot be read to its end as a PDF.")
    return found or ["Its bytes differ, where neither a page nor the attached record shows it."]


def _of_length(given, kept):
    if given.startswith(kept):
        return [f"{len(given) - len(kept)} bytes were added after its end."]
    if kept.startswith(given):
        return [f"It is cut short: {len(given)} of {len(kept)} bytes."]
    return []


def _of_signature(reader, roots):
    if not reader.embedded_regular_signatures:
        return ["The signature is missing."]
    context = ValidationContext(trust_roots=[x509.Certificate.load(one) for one in roots], allow_fetching=False)
    status = in_own_loop(validate_pdf_signature, reader.embedded_regular_signatures[0], context)
    if not status.intact or not status.valid:
        return ["The signature does not fit what stands in the file."]
    if not status.trusted:
        return ["It is signed, but not by the register."]
    if status.coverage.name != "ENTIRE_FILE":
        return ["Something was added after it was signed."]
    return []


def _pages(reader):
    root = reader.root["/Pages"]
    return [(_digest(page, {}), [_digest(one, {}) for one in _drawn_over(page)]) for page in _leaves(root)]


def _drawn_over(page):
    """What lies over a page but the field of the signature, which shows nothing."""
    over = [_meant(one) for one in page["/Annots"]] if "/Annots" in page else []
    return [one for one in over if one.get("/FT") != "/Sig"]


def _meant(thing):
    return thing.get_object() if isinstance(thing, generic.IndirectObject) else thing


def _leaves(node):
    node = _meant(node)
    if "/Kids" not in node:
        return [node]
    return [leaf for kid in node["/Kids"] for leaf in _leaves(kid)]


def _digest(thing, known):
    """Digest of all that a page shows, its fonts and pictures with it, however its objects are numbered or packed."""
    thing = _meant(thing)
    if id(thing) in known:
        return known[id(thing)]
    known[id(thing)] = "above"
    if isinstance(thing, generic.DictionaryObject):
        names = sorted(set(thing) - NOT_OF_THE_PAGE - {"/Filter", "/DecodeParms", "/Length"})
        parts = [f"{name}={_digest(thing.raw_get(name), known)}" for name in names]
        if isinstance(thing, generic.StreamObject):
            parts.append(hashlib.sha256(_content(thing)).hexdigest())
    elif isinstance(thing, generic.ArrayObject):
        parts = [_digest(thing.raw_get(place), known) for place in range(len(thing))]
    else:
        parts = [repr(thing)]
    known[id(thing)] = hashlib.sha256("|".join(parts).encode()).hexdigest()
    return known[id(thing)]


def _content(stream):
    try:
        return stream.data
    except Exception:  # a picture that is packed in a way which the reader does not know: as it is packed
        return stream.encoded_data


def _of_pages(given, issued):
    other = [str(number) for number, (one, two) in enumerate(zip(given, issued, strict=False), start=1) if one != two]
    if len(given) != len(issued):
        found = [f"It has {len(given)} page{'s' * (len(given) != 1)} and was issued with {len(issued)}."]
        return found + ([f"From page {other[0]} on the pages are not what was issued."] if other else [])
    return [f"Page{'s' * (len(other) > 1)} {', '.join(other)}: not what was issued."] if other else []


def _attachments(reader):
    if "/Names" not in reader.root or "/EmbeddedFiles" not in reader.root["/Names"]:
        return {}
    names = reader.root["/Names"]["/EmbeddedFiles"]["/Names"]
    return {str(names[place]): names[place + 1]["/EF"]["/F"].data for place in range(0, len(names), 2)}


def _of_attachments(given, issued):
    found = [f"The attached record {name} is missing." for name in issued.keys() - given.keys()]
    found += [f"It carries {name}, which was not attached." for name in given.keys() - issued.keys()]
    both = given.keys() & issued.keys()
    return found + [
        f"The attached record {name} is not the one that was issued." for name in both if given[name] != issued[name]
    ]


def main():
    limit()
    told = json.loads(sys.stdin.buffer.readline())
    given, kept = (sys.stdin.buffer.read(length) for length in told["lengths"])
    if kept:
        answer = differences(given, kept, [bytes.fromhex(one) for one in told["roots"]])
    else:
        answer = list(_attachments(PdfFileReader(io.BytesIO(given), strict=False)))
    print(json.dumps(answer))


if __name__ == "__main__":
    main()
