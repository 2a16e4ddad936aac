"""Papers signed by a token (PKCS#11). SoftHSM, a token in software, stands for the module of a maker."""

import shutil
import subprocess
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.hazmat.primitives.serialization.pkcs12 import load_key_and_certificates
from django.core.exceptions import ImproperlyConfigured
from django.core.management import call_command

from inspections.certificates.comparing import differences
from inspections.certificates.papers import keep_pdf
from inspections.certificates.signing_keys import new_pkcs12, trust_roots
from inspections.certificates.signing_tokens import token_signer

PIN = "1234"

pytestmark = pytest.mark.skipif(not shutil.which("softhsm2-util"), reason="softhsm2 is not installed")


@pytest.fixture(scope="module")
def module(tmp_path_factory):
    """The PKCS#11 module, with a token that holds key and chain. It reads where its tokens lie once in a process."""
    folder = tmp_path_factory.mktemp("tokens")
    (folder / "softhsm.conf").write_text(f"directories.tokendir = {folder}\n")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SOFTHSM2_CONF", str(folder / "softhsm.conf"))
        command = ["softhsm2-util", "--init-token", "--free", "--label", "firm", "--so-pin", PIN, "--pin", PIN]
        subprocess.run(command, check=True, capture_output=True)
        module = next(str(path) for path in Path("/usr/lib").glob("**/libsofthsm2.so"))
        fill(module)
        yield module


@pytest.fixture
def token(module, settings):
    settings.SIGNING_PKCS11, settings.SIGNING_TOKEN, settings.SIGNING_LABEL = module, "firm", "papers"
    settings.SIGNING_PASSPHRASE = PIN
    yield settings
    token_signer.cache_clear()


def fill(module):
    import pkcs11
    from pkcs11.util.rsa import decode_rsa_private_key
    from pkcs11.util.x509 import decode_x509_certificate

    key, certificate, (root,) = load_key_and_certificates(new_pkcs12(), None)
    private = key.private_bytes(Encoding.DER, PrivateFormat.TraditionalOpenSSL, NoEncryption())
    with pkcs11.lib(module).get_token(token_label="firm").open(user_pin=PIN, rw=True) as session:
        marks = {pkcs11.Attribute.TOKEN: True, pkcs11.Attribute.LABEL: "papers", pkcs11.Attribute.ID: b"1"}
        session.create_object(decode_rsa_private_key(private) | marks)
        for one, label in ((certificate, "papers"), (root, "root")):
            attributes = decode_x509_certificate(one.public_bytes(Encoding.DER))
            session.create_object(attributes | marks | {pkcs11.Attribute.LABEL: label})


def test_a_paper_signed_by_a_token_is_ours_and_its_alteration_is_told(town, token):
    with keep_pdf(town.certificate).pdf.open("rb") as file:
        paper = file.read()
    assert differences(paper, paper, trust_roots()) == []
    assert differences(paper.replace(b"/Lang", b"/Lanh", 1), paper, trust_roots())
    assert b"root of its own".hex().encode() in paper.lower()  # the chain on the token


@pytest.mark.django_db
def test_a_token_that_is_not_there_is_told_with_what_is_expected(token, capsys):
    token.SIGNING_TOKEN = "another"
    token_signer.cache_clear()
    with pytest.raises(
        ImproperlyConfigured, match="no key 'papers' was found on a token 'another'.*REGISTER_SIGNING_T"
    ):
        trust_roots()
    token.SIGNING_TOKEN = "firm"
    call_command("make_keys")
    assert "Papers are signed by the token 'firm'" in capsys.readouterr().err
