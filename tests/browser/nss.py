"""Has Chromium trust an authority as a person would: in the certificate database of its home.

`certutil` writes that database; where it is not installed, the same library that Chromium reads it
with is asked directly.

    python -m tests.browser.nss HOME CERTIFICATE.der
"""

import ctypes
import ctypes.util
import subprocess
import sys
from pathlib import Path

INVALID_HANDLE = 0


class NotTrusted(RuntimeError):
    """The authority could not be added, and why."""


class _Trust(ctypes.Structure):
    _fields_ = (("ssl", ctypes.c_uint), ("mail", ctypes.c_uint), ("code", ctypes.c_uint))


class _Item(ctypes.Structure):
    _fields_ = (("kind", ctypes.c_int), ("data", ctypes.c_char_p), ("len", ctypes.c_uint))


def trust(home: Path, der: bytes) -> None:
    """
    Add an authority to the database of a home, for websites.

    In a process of its own: the library keeps one database for a process's whole life.

    Raises:
        NotTrusted: The library is missing, or it refused.
    """
    file = home / "authority.der"
    file.write_bytes(der)
    done = subprocess.run(
        [sys.executable, "-m", "tests.browser.nss", str(home), str(file)],
        cwd=Path(__file__).resolve().parents[2],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode != 0:
        raise NotTrusted(done.stderr)


def _add(home: Path, der: bytes) -> None:
    folder = home / ".pki" / "nssdb"
    folder.mkdir(parents=True)
    name = ctypes.util.find_library("nss3")
    if name is None:
        raise NotTrusted("found no library nss3, which Chromium keeps certificates with")
    nss = ctypes.CDLL(name)
    for function in ("PK11_GetInternalKeySlot", "CERT_NewTempCertificate",
                     "CERT_GetDefaultCertDB"):  # fmt: skip
        getattr(nss, function).restype = ctypes.c_void_p
    _done(nss, nss.NSS_InitReadWrite(f"sql:{folder}".encode()), "open the database")
    slot = ctypes.c_void_p(nss.PK11_GetInternalKeySlot())
    if nss.PK11_NeedUserInit(slot):
        _done(nss, nss.PK11_InitPin(slot, None, None), "begin the database")
    database = ctypes.c_void_p(nss.CERT_GetDefaultCertDB())
    item = _Item(0, der, len(der))
    made = nss.CERT_NewTempCertificate(database, ctypes.byref(item), None, 0, 1)
    certificate = ctypes.c_void_p(made)
    if not certificate:
        raise NotTrusted("found no certificate")
    imported = nss.PK11_ImportCert(
        slot, certificate, ctypes.c_ulong(INVALID_HANDLE), b"authority", 0
    )
    _done(nss, imported, "import the certificate")
    wanted = _Trust()
    _done(nss, nss.CERT_DecodeTrustString(ctypes.byref(wanted), b"C,,"), "read the trust")
    changed = nss.CERT_ChangeCertTrust(database, certificate, ctypes.byref(wanted))
    _done(nss, changed, "trust the certificate")
    nss.CERT_DestroyCertificate(certificate)
    nss.PK11_FreeSlot(slot)
    nss.NSS_Shutdown()


def _done(nss: ctypes.CDLL, status: int, what: str) -> None:
    if status != 0:
        raise NotTrusted(f"could not {what}: error {nss.PR_GetError()}")


if __name__ == "__main__":
    _add(Path(sys.argv[1]), Path(sys.argv[2]).read_bytes())
