"""Trees and proofs by the definitions of RFC 9162, section 2.1, written for this check alone.

    python3 merkle_vectors.py > merkle_vectors.json

Entries are "row 0", "row 1", ...; digests are hexadecimal SHA-256. Chain links: 32 bytes of the link before, then the row.
"""
import hashlib
import json


def sha(data):
    return hashlib.sha256(data).digest()


def split(n):
    k = 1
    while k * 2 < n:
        k *= 2
    return k


def mth(entries):
    if not entries:
        return sha(b"")
    if len(entries) == 1:
        return sha(b"\0" + entries[0])
    k = split(len(entries))
    return sha(b"\1" + mth(entries[:k]) + mth(entries[k:]))


def path(m, entries):
    if len(entries) == 1:
        return []
    k = split(len(entries))
    if m < k:
        return path(m, entries[:k]) + [mth(entries[k:])]
    return path(m - k, entries[k:]) + [mth(entries[:k])]


def subproof(m, entries, whole):
    if m == len(entries):
        return [] if whole else [mth(entries)]
    k = split(len(entries))
    if m <= k:
        return subproof(m, entries[:k], whole) + [mth(entries[k:])]
    return subproof(m - k, entries[k:], False) + [mth(entries[:k])]


def chain(site, rows):
    link, links = sha(b"pourwright site chain 1\n" + site), []
    for row in rows:
        link = sha(link + row)
        links.append(link.hex())
    return links


entries = [b"row %d" % i for i in range(20)]
hexed = lambda digests: [digest.hex() for digest in digests]
print(json.dumps({
    "roots": [mth(entries[:n]).hex() for n in range(len(entries) + 1)],
    "inclusion": [{"index": i, "size": n, "proof": hexed(path(i, entries[:n]))} for n in (1, 2, 7, 8, 13, 20) for i in range(n)],
    "consistency": [{"first": m, "second": n, "proof": hexed(subproof(m, entries[:n], True))}
                    for n in (1, 4, 7, 13, 20) for m in range(1, n + 1)],
    "chain": {"site": "sites/north", "links": chain(b"sites/north", entries[:5])},
}, indent=1))
