"""Papers altered in the ways in which somebody might, at seeded places, of a paper that was given out."""

import io
import random
import warnings

import pikepdf


def one_byte(paper, other, rng):
    place = rng.randrange(len(paper))
    return paper[:place] + bytes([paper[place] ^ (1 << rng.randrange(8))]) + paper[place + 1 :]


def text(paper, other, rng):
    def alter(pdf):
        page = pdf.pages[rng.randrange(len(pdf.pages))]
        page.contents_add(b"BT /F1 12 Tf 72 %d Td (Nothing excluded) Tj ET" % rng.randrange(700))

    return _saved(paper, alter)


def attachment(paper, other, rng):
    def alter(pdf):
        (name,) = pdf.attachments
        record = pdf.attachments[name].get_file().read_bytes()
        altered = record.replace(b'"is_limited": false', b'"is_limited": true') + b" " * rng.randrange(1, 9)
        del pdf.attachments[name]
        pdf.attachments[name] = altered

    return _saved(paper, alter)


def page_removed(paper, other, rng):
    return _saved(paper, lambda pdf: pdf.pages.__delitem__(rng.randrange(len(pdf.pages))))


def signature_stripped(paper, other, rng):
    cut = paper[: paper.index(b"%%EOF") + 6]  # what was composed, before it was signed
    return cut if rng.random() < 0.5 else cut + b"%" + bytes([rng.randrange(65, 90)])


def two_mixed(paper, other, rng):
    def alter(pdf):
        with warnings.catch_warnings(), pikepdf.open(io.BytesIO(other)) as second:
            warnings.simplefilter("ignore", pikepdf.PageCopyWarning)  # of the field of the signature
            pdf.pages[rng.randrange(len(pdf.pages))] = second.pages[rng.randrange(len(second.pages))]
            return _bytes(pdf)

    with pikepdf.open(io.BytesIO(paper)) as pdf:
        return alter(pdf)


def something_added(paper, other, rng):
    return paper + b"\n" * rng.randrange(1, 40)


WAYS = (one_byte, text, attachment, page_removed, signature_stripped, two_mixed, something_added)


def sample(number, seed, paper, other):
    """(name of the way, altered bytes), each way in turn."""
    rng = random.Random(seed)
    for count in range(number):
        way = WAYS[count % len(WAYS)]
        altered = way(paper, other, rng)
        assert altered != paper
        yield way.__name__, altered


def _saved(paper, alter):
    with pikepdf.open(io.BytesIO(paper)) as pdf:
        alter(pdf)
        return _bytes(pdf)


def _bytes(pdf):
    out = io.BytesIO()
    pdf.save(out)
    return out.getvalue()
