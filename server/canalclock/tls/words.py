"""Every word of the page that brings a device to trust the authority.

Menus are named as the platforms call them in English; makers move them, so each way says what to
search for. Not tried on a phone by us: see DEVELOPERS.md.
"""

from typing import Final

from msgspec import Struct


class Way(Struct, frozen=True, kw_only=True):
    """How one platform is brought to trust the authority."""

    key: str
    title: str
    marks: tuple[str, ...]
    """Parts of the browser's own description that say it is this platform."""
    steps: tuple[str, ...]
    fails: tuple[str, ...]
    undo: str


TITLE: Final = "Trust this clinic's Canalclock"
WHY: Final = (
    "Canalclock answers over https, with a certificate of this clinic's own authority. A device "
    "that trusts the authority can work offline, keep its screen awake and install the app. "
    "Clicking through a browser's warning is not enough: those three stay off."
)
ONCE: Final = "This is done once for each device, by whoever looks after it, in about two minutes."
LIMITS: Final = (
    "The authority can vouch for nothing but this clinic's network: private addresses and {names}, "
    "with names that end in one of these. It cannot vouch for any other site."
)
CHECK_TITLE: Final = "1. Compare the fingerprint"
CHECK: Final = (
    "This page comes over plain http, which somebody on the network could change. Compare these "
    "pairs with those that the machine printed when the service started, or with the screen "
    "“Connection” of a device that already trusts it. If one differs, stop here and tell whoever "
    "runs the service."
)
GET_TITLE: Final = "2. Get the certificate"
GET: Final = "Download the certificate of the authority"
GET_PEM: Final = "The same as PEM, for systems that ask for it"
DO_TITLE: Final = "3. Have the device trust it"
OPEN_TITLE: Final = "4. Open Canalclock"
OPEN: Final = (
    "Close the browser entirely, start it again, and open one of these. No warning: the device "
    "trusts it, and this page is no longer needed. Keep to one address: what a device still holds "
    "unsent stays with the address that it was recorded under."
)
NO_ADDRESS: Final = (
    "The service knows no address of its own on the network. Whoever runs it starts it with "
    "--name and the address or name that devices reach it by."
)
CLOCK_TITLE: Final = "If a warning stays"
CLOCK: Final = (
    "Compare the clock. This machine's says {now} (UTC). A device whose date is wrong takes the "
    "certificate for one that has ended or not begun; set the device to the network's time."
)
FAILS: Final = (
    "The address must be one of those above, spelt the same: the certificate counts for no other.",
    "Look at the warning's details. An issuer other than “{issuer}” is another authority, perhaps "
    "one that was replaced: get the certificate again and compare the fingerprint again.",
    "If the page does not open at all, the device is in another network (a guest network, mobile "
    "data, a tunnel); put it in the clinic's.",
    "A device that is managed may refuse; whoever manages it adds the same file there.",
)
HAND: Final = "Until then a visit can be recorded over this address, but only while connected."

WAYS: Final = (
    Way(
        key="ios",
        title="iPhone and iPad",
        marks=("iPhone", "iPad"),
        steps=(
            "Open this page in Safari and tap the download above; tap Allow.",
            "Open Settings. Tap “Profile Downloaded” near the top (or General, then VPN & Device "
            "Management, then the profile), and Install. Enter the device's code.",
            "Still in Settings: General, About, Certificate Trust Settings, at the very end. "
            "Switch on full trust for the Canalclock authority. Without this step nothing changes.",
        ),
        fails=(
            "No “Profile Downloaded”: it goes after a few minutes; download again in Safari, not "
            "in another browser and not in a private tab.",
            "Nothing to switch on in Certificate Trust Settings: the profile is not installed yet.",
        ),
        undo="Settings, General, VPN & Device Management, the profile, Remove.",
    ),
    Way(
        key="android",
        title="Android phones and tablets",
        marks=("Android",),
        steps=(
            "Tap the download above. If the browser offers to keep the file, keep it.",
            "Open Settings and search for “certificate”. Take “CA certificate” (often under "
            "Security, More security settings, Encryption & credentials, Install a certificate).",
            "Tap Install anyway, confirm with the screen lock, and choose the file.",
            "Open Canalclock in Chrome.",
        ),
        fails=(
            "A screen lock is asked for: set one first; the system keeps no certificate without.",
            "“Private key required”: it was opened as a user certificate; take CA certificate.",
            "The system may say afterwards that the network can be monitored. It says so for any "
            "authority that was added by hand; this one is limited as said above.",
            "Firefox keeps its own list and may not ask the system; use Chrome.",
        ),
        undo="Settings, search for “trusted credentials”, the tab User, the authority, Remove.",
    ),
    Way(
        key="windows",
        title="Windows",
        marks=("Windows",),
        steps=(
            "Click the download above and open the file.",
            "Install Certificate, Current User, then “Place all certificates in the following "
            "store”, Browse, “Trusted Root Certification Authorities”.",
            "Finish. The system shows the fingerprint once more (as SHA-1 there); answer Yes.",
        ),
        fails=(
            "The warning stays: it went to the store that was chosen automatically. Do it again "
            "and choose the store by hand.",
            "Firefox: Settings, search for “certificates”, View Certificates, Authorities, Import, "
            "and tick “identify websites”.",
        ),
        undo="Run certmgr.msc, Trusted Root Certification Authorities, Certificates, delete it.",
    ),
    Way(
        key="macos",
        title="Mac",
        marks=("Macintosh",),
        steps=(
            "Click the download above and open the file; Keychain Access adds it to “login”.",
            "In Keychain Access find the Canalclock authority, open it, open Trust, and choose "
            "“Always Trust” for “When using this certificate”.",
            "Close the window and enter the password.",
        ),
        fails=(
            "An iPad may show itself as a Mac: follow “iPhone and iPad” there.",
            "Firefox: Settings, search for “certificates”, View Certificates, Authorities, Import, "
            "and tick “identify websites”.",
        ),
        undo="Keychain Access, the authority, Delete.",
    ),
    Way(
        key="chromeos",
        title="Chromebook",
        marks=("CrOS",),
        steps=(
            "Click the download above.",
            "In Chrome open Settings, search for “certificates”, Manage certificates, Authorities, "
            "Import, and choose the file.",
            "Tick “Trust this certificate for identifying websites”.",
        ),
        fails=("A managed Chromebook refuses; its administrator adds the file.",),
        undo="The same list, the authority, Delete.",
    ),
    Way(
        key="linux",
        title="Linux",
        marks=("Linux", "X11"),
        steps=(
            "Chrome and Chromium: Settings, search for “certificates”, Manage certificates, "
            "Authorities (or Custom, Installed by you), Import; tick “identify websites”.",
            "Firefox: Settings, search for “certificates”, View Certificates, Authorities, Import, "
            "and tick “identify websites”.",
        ),
        fails=(
            "Programs other than browsers read the system's list; the distribution's documents say "
            "where the PEM file goes.",
        ),
        undo="The same list, the authority, Delete.",
    ),
)
"""Ordered: a browser that describes itself by several marks is the first of them."""
