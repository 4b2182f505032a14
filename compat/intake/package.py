"""Opening a workbook's zip package without trusting what it says about itself."""

from __future__ import annotations

import functools
import io
import xml.parsers.expat
import zipfile

from compat.intake import limits
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

_OLD_OR_ENCRYPTED = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ENCRYPTED_STREAM = "EncryptedPackage".encode("utf-16-le")
_SAVE_AGAIN = "Open it in a spreadsheet program and save it again as .xlsx"
_PACKING = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_DIRECTORY_ENTRY = b"PK\x01\x02"


class Package:
    """A workbook's parts, each read through once to know its true size.

    Raises BadInput for what is not a zip file, is encrypted, damaged, or unpacks to more than
    200 MB, or to more than 200 times its size.
    """

    def __init__(self, data: bytes, file: str) -> None:
        self.file = file
        if data.startswith(_OLD_OR_ENCRYPTED):
            if _ENCRYPTED_STREAM in data:
                do = "Open it, take the password off and save it again as .xlsx"
                raise self.bad("the workbook is encrypted with a password", do)
            raise self.bad("the file is a workbook of an old format, not .xlsx", _SAVE_AGAIN)
        if data.count(_DIRECTORY_ENTRY) > limits.PACKAGE_MEMBERS:
            raise self.bad("the workbook has too many parts inside", _SAVE_AGAIN)
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(data))
            self._names = {info.filename.casefold(): info for info in self._zip.infolist()}
            self._check_members()
            self._measure()
        except BadInput:
            raise
        except Exception as error:  # a damaged zip file raises nearly anything
            raise self.bad("the workbook is damaged or is not a workbook", _SAVE_AGAIN) from error
        if not (self.has("xl/workbook.xml") or self.has("content.xml")):
            raise self.bad("the file is a zip file but not a workbook", _SAVE_AGAIN)

    def has(self, part: str) -> bool:
        """Whether there is a part of a name, without case."""
        return part.casefold() in self._names

    def bad(self, what: str, do: str, allowed: str = "") -> BadInput:
        """A fault of the whole file."""
        return BadInput([Fault(what, Origin(self.file), allowed, do)])

    def _check_members(self) -> None:
        members = self._zip.infolist()
        if len(members) != len(self._names):
            raise self.bad("the workbook holds a part twice", _SAVE_AGAIN)
        if any(info.flag_bits & 1 for info in members):
            raise self.bad("the workbook is encrypted with a password", _SAVE_AGAIN)
        if any(info.compress_type not in _PACKING for info in members):
            raise self.bad("the workbook is packed in a way that no workbook is", _SAVE_AGAIN)

    def _measure(self) -> None:
        total = 0
        for info in self._zip.infolist():
            size = 0
            with self._zip.open(info) as member:
                while chunk := member.read(1 << 18):
                    size += len(chunk)
                    total += len(chunk)
                    self._check_size(size, info.compress_size, total)

    def _check_size(self, size: int, packed: int, total: int) -> None:
        swollen = size > limits.UNPACKED_RATIO * max(packed, 1)
        if total > limits.UNPACKED_BYTES or (size > limits.UNPACKED_RATIO_FROM_BYTES and swollen):
            raise self.bad(
                "the workbook unpacks to far more than a schedule needs",
                "Copy the schedule into a new workbook and save that",
                f"At most {limits.UNPACKED_BYTES // 1_000_000} MB unpacked",
            )

    def feed(self, part: str, parser: xml.parsers.expat.XMLParserType) -> None:
        """Run the XML of a part through a parser; nothing when there is no such part.

        Raises BadInput when the XML is damaged or declares a document type, which no workbook
        does and which is the way to entities that swell.
        """
        info = self._names.get(part.casefold())
        if info is None:
            return
        parser.StartDoctypeDeclHandler = self._refuse_doctype
        try:
            with self._zip.open(info) as member:
                while chunk := member.read(1 << 16):
                    parser.Parse(chunk)
                parser.Parse(b"", True)
        except BadInput:
            raise
        except (xml.parsers.expat.ExpatError, LookupError, ValueError) as error:
            # The last two stand for an encoding that is not known or not supported.
            raise self.bad(f"the part {part} of the workbook is damaged", _SAVE_AGAIN) from error

    def _refuse_doctype(self, *_: object) -> None:
        raise self.bad("the workbook declares a document type inside", _SAVE_AGAIN)


def new_parser() -> xml.parsers.expat.XMLParserType:
    """A parser that gives names with their namespace before a space; see ``local``."""
    parser = xml.parsers.expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    return parser


@functools.lru_cache(maxsize=256)
def local(name: str) -> str:
    """The name of an element or attribute without its namespace."""
    return name[name.rfind(" ") + 1 :]
