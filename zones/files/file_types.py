"""What a file is by its content, whatever it calls itself."""

import io
import zipfile

import puremagic

ZIP_START = b"PK\x03\x04"
COMPOUND_START = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # the old binary office container; also that of an encrypted .xlsx
ENCRYPTED_STREAM = "EncryptedPackage".encode("utf-16-le")

NAMES = {
    "pdf": "a PDF document",
    "png": "a PNG picture",
    "jpeg": "a JPEG picture",
    "webp": "a WebP picture",
    "gif": "a GIF picture",
    "xlsx": "a spreadsheet (.xlsx)",
    "xlsm": "a spreadsheet with macros (.xlsm)",
    "docx": "a text document (.docx)",
    "docm": "a text document with macros (.docm)",
    "pptx": "a presentation",
    "ods": "an OpenDocument file",
    "zip": "a ZIP archive",
    "encrypted": "a file with a password",
    "compound": "a file of an old office format",
    "dxf": "a drawing (.dxf)",
    "dwg": "a drawing (.dwg)",
    "html": "a web page",
    "svg": "an SVG drawing",
    "program": "a program",
    "text": "plain text",
    "unknown": "of a type that the register does not know",
}


def type_of(content: bytes) -> str:
    """Return a key of NAMES for what `content` is; "unknown" when it is nothing recognised."""
    if content.startswith(ZIP_START):
        return _type_of_zip(content)
    if content.startswith(COMPOUND_START):
        return "encrypted" if ENCRYPTED_STREAM in content else "compound"
    if content.startswith((b"MZ", b"\x7fELF", b"#!")):
        return "program"
    if content.startswith(b"AC10") and b"\x00" in content[:64]:
        return "dwg"
    if by_magic := _type_by_magic(content):
        return by_magic
    return _type_of_text(content)


def _type_of_zip(content):
    try:
        names = set(zipfile.ZipFile(io.BytesIO(content)).namelist())
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError):
        return "unknown"
    has_macros = any(name.lower().endswith("vbaproject.bin") for name in names)
    if "xl/workbook.xml" in names:
        return "xlsm" if has_macros else "xlsx"
    if "word/document.xml" in names:
        return "docm" if has_macros else "docx"
    if "ppt/presentation.xml" in names:
        return "pptx"
    return "ods" if "mimetype" in names and "content.xml" in names else "zip"


def _type_by_magic(content):
    if content.startswith(b"%PDF-"):
        return "pdf"
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if content.startswith(b"RIFF") and content[8:12] == b"WEBP":
        return "webp"
    if content.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if content.startswith((b"GIF87a", b"GIF89a")):
        return "gif"
    if b"\x00" not in content[:4096]:
        return None  # text is told apart below: a guess from its first bytes is too often wrong
    try:
        extension = puremagic.from_string(content[:65536]).lstrip(".")
    except (puremagic.PureError, ValueError):
        return None
    return extension if extension in NAMES and extension != "text" else None


def _type_of_text(content):
    start = content[:65536]
    if start.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = start[: len(start) // 2 * 2].decode("utf-16", "replace")
    elif start.count(b"\x00") > len(start) // 4:  # UTF-16 without a mark at its start
        text = start[: len(start) // 2 * 2].decode("utf-16-le" if start[1:2] == b"\x00" else "utf-16-be", "replace")
    else:
        text = start.decode("utf-8", "replace")
    if any(character < " " and character not in "\t\n\r\f" for character in text):
        return "unknown"
    head = text.lstrip("\ufeff \t\r\n").lower()[:4096]
    if head.startswith("<svg") or (head.startswith("<?xml") and "<svg" in head):
        return "svg"
    if head.startswith(("<!doctype html", "<html", "<script", "<head", "<body")):
        return "html"
    lines = [line.strip() for line in head.splitlines()[:12]]
    if lines[:2] == ["0", "section"] or (lines[:1] == ["999"] and "section" in lines):
        return "dxf"
    return "text" if text else "unknown"
