"""A DuckDB file that is the same, byte for byte, whenever it is made of the same content.

DuckDB gives every new file a random identifier of 16 bytes. It stands in the main header, the first
4096 bytes of the file, and the header has a checksum in front; nothing else differs between two
files that are made by the same steps in one thread under the same name (seen by comparing files of
DuckDB 2.0.1). Here the identifier is set to one that follows from the content of the dataset, and
the checksum to that of the new header. The old checksum is worked out first: where it does not come
out, the header is laid out otherwise than we know, and the file is refused.
"""

from __future__ import annotations

import struct

HEADER_BYTES = 4096
MAGIC_AT, MAGIC = 8, b"DUCK"
IDENTIFIER_AT, IDENTIFIER_BYTES = 124, 16
SEED, FACTOR, MASK = 5381, 0xBF58476D1CE4E5B9, (1 << 64) - 1


class OtherLayout(ValueError):
    """The file is not laid out as this module knows it."""


def steadied(file: bytes, identifier: bytes) -> bytes:
    """A DuckDB file with this identifier (16 bytes) in place of its random one. Raises OtherLayout."""
    header = bytearray(file[:HEADER_BYTES])
    if len(identifier) != IDENTIFIER_BYTES:
        raise ValueError(f"an identifier has {IDENTIFIER_BYTES} bytes, not {len(identifier)}")
    if len(header) < HEADER_BYTES or header[MAGIC_AT : MAGIC_AT + len(MAGIC)] != MAGIC:
        raise OtherLayout("this is no DuckDB file")
    if struct.unpack_from("<Q", header)[0] != _checksum(header):
        raise OtherLayout("the header of the DuckDB file has a checksum of another kind")
    header[IDENTIFIER_AT : IDENTIFIER_AT + IDENTIFIER_BYTES] = identifier
    struct.pack_into("<Q", header, 0, _checksum(header))
    return bytes(header) + file[HEADER_BYTES:]


def _checksum(header: bytes | bytearray) -> int:
    """The checksum over all of a header but its first 8 bytes, as DuckDB reckons it."""
    result = SEED
    for (word,) in struct.iter_unpack("<Q", header[8:]):
        result ^= word * FACTOR & MASK
    return result
