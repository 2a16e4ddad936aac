"""Long-term validation: chain and revocation list of the day lie in the paper (PAdES B-LT, ETSI EN 319 142-1)."""

import io
import threading
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer

import pikepdf
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption
from cryptography.hazmat.primitives.serialization.pkcs12 import serialize_key_and_certificates

from inspections.certificates import signing_keys
from inspections.certificates.comparing import differences
from inspections.certificates.papers import is_made, keep_pdf
from inspections.models import Certificate

ROOT, LEAF = (x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, name)]) for name in ("Invented root", "Papers"))


@pytest.fixture
def authority():
    """Answers with a revocation list until `lists` is emptied; `url` is what the certificate names."""
    lists = []

    class Answers(BaseHTTPRequestHandler):
        def do_GET(self):
            self.send_response(200 if lists else 503)
            self.end_headers()
            self.wfile.write(lists[0] if lists else b"")

        def log_message(self, *_):
            pass

    server = HTTPServer(("127.0.0.1", 0), Answers)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    server.lists, server.url = lists, f"http://127.0.0.1:{server.server_port}/list.crl"
    yield server
    server.shutdown()
    server.server_close()


@pytest.fixture
def long_term(settings, authority, tmp_path):
    """A key of an authority that publishes revocation lists, as the firm's."""
    root_key, key = (rsa.generate_private_key(65537, 2048) for _ in range(2))
    root = signing_keys._certificate(ROOT, ROOT, root_key.public_key())
    root = root.add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
    root = root.add_extension(signing_keys._usage(key_cert_sign=True, crl_sign=True), critical=True)
    point = x509.DistributionPoint([x509.UniformResourceIdentifier(authority.url)], None, None, None)
    leaf = signing_keys._certificate(LEAF, ROOT, key.public_key())
    leaf = leaf.add_extension(signing_keys._usage(digital_signature=True, content_commitment=True), critical=True)
    leaf = leaf.add_extension(x509.CRLDistributionPoints([point]), critical=False)
    now = datetime.now(UTC)
    revoked = x509.CertificateRevocationListBuilder().issuer_name(ROOT).last_update(now - timedelta(hours=1))
    revoked = revoked.next_update(now + timedelta(days=7)).sign(root_key, hashes.SHA256())
    authority.lists.append(revoked.public_bytes(Encoding.DER))
    chain = [root.sign(root_key, hashes.SHA256())]
    content = serialize_key_and_certificates(
        b"papers", key, leaf.sign(root_key, hashes.SHA256()), chain, NoEncryption()
    )
    (tmp_path / "firm.p12").write_bytes(content)
    settings.SIGNING_PKCS12, settings.SIGNING_LONG_TERM = str(tmp_path / "firm.p12"), True
    return authority


def test_chain_and_revocation_list_lie_in_the_paper(town, long_term):
    with keep_pdf(town.certificate).pdf.open("rb") as file:
        paper = file.read()
    with pikepdf.open(io.BytesIO(paper)) as pdf:
        kept = pdf.Root.DSS
        assert [bytes(one.read_bytes()) for one in kept.CRLs] == long_term.lists
        assert len(kept.Certs) == 2
    assert differences(paper, paper, signing_keys.trust_roots()) == []
    assert differences(paper.replace(b"/Lang", b"/Lanh", 1), paper, signing_keys.trust_roots())


def test_a_paper_whose_lists_cannot_be_had_waits_and_is_tried_again(town, long_term):
    kept = long_term.lists.pop()
    assert not is_made(town.certificate.number)
    assert Certificate.objects.get(pk=town.certificate.pk).pdf == ""
    long_term.lists.append(kept)
    assert is_made(town.certificate.number)
