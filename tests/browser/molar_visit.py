"""A molar visit by the protocol as written, on a timetable that can be worked out by hand.

Four canals, each in its turn (0 to 3). The screen keeps the canal that was last worked in at hand,
so that a stage of shaping begins where the one before it ended. Orifices at 9 mm, so that what
reaches 3 mm below one reaches 12 mm. Instants are minutes and seconds since the clock was started:

    open             4:00              2 mL hypochlorite into the chamber
    secure-coronal   5:00 + 1:00 turn  gel on a file, the file; at :20 1 mL hypochlorite
    shape-coronal   10:00 + 2:00 turn  1 mL, file, 1 mL, recapitulate, 1 mL, 20 s apart
    secure-apical   20:00 + 2:00 turn  gel on a file, the file; at :30 1 mL; recapitulate; 1 mL
    length          30:00 + 0:30 turn  working lengths; from 32:30 on glide paths and radiographs
    shape-apical    35:00 + 2:00 turn  1 mL; file; 1 mL, recapitulate, 1 mL in one tap
    gauge           45:00 + 1:00 turn  gauging, size, taper
    chelate         50:00 + 0:10 turn  1 mL chelator
                    51:20 + 0:10 turn  2 mL water
    activate        53:00 + 0:10 turn  1 mL hypochlorite; again 3:00 and 6:00 later
                    54:00 + 0:25 turn  ultrasonic for 20 s; again 3:00 and 6:00 later
    dry             62:30 + 0:10 turn  2 mL water
                    63:30 + 0:10 turn  cone
                    64:30 + 0:10 turn  points
    fill            66:00 + 1:00 turn  filled
"""

from typing import Final

from playwright.sync_api import expect

from tests.browser.page_clock import PageClock
from tests.browser.person import Person

CANALS: Final = ("mb1", "mb2", "db", "p")
P_FIRST: Final = ("p", "mb1", "mb2", "db")
DB_FIRST: Final = ("db", "mb1", "mb2", "p")
LENGTH_UM: Final = {"mb1": 20_000, "mb2": 19_000, "db": 19_500, "p": 21_000}
"""Working lengths. [µm]"""
_LENGTH_TAPS: Final = {"mb1": ("More",), "mb2": ("More", "Less", "Less"), "db": ("More", "Less"),
                       "p": ("More", "More", "More")}  # fmt: skip
"""Taps from unknown: the first says 20 mm, each further one half a millimetre."""


A_SECOND_MS: Final = 1000
"""Two taps on one place within 0.7 s count as a slip of the finger."""


class MolarVisit:
    """Somebody runs the visit; each stage asks first that the screen announces it."""

    def __init__(self, me: Person, clock: PageClock) -> None:
        """At the chair of a visit just opened."""
        self.me = me
        self.clock = clock

    def until_gauged(self) -> None:
        """From isolation to gauged canals."""
        self.open_chamber()
        self.secure_coronal()
        self.shape_coronal()
        self.secure_apical()
        self.set_lengths()
        self.shape_apical()
        self.gauge()

    def close(self) -> None:
        """From the chelator to dry canals."""
        self.chelate()
        self.activate()
        self.dry()

    def open_chamber(self) -> None:
        me = self.me
        self.clock.at(3, 30)
        me.sees_next("Chamber", "isolation")
        me.outcome("on, no leak")
        me.sees_next("Chamber", "N 3 % 2 mL")
        me.syringe("N")
        self.clock.at(4)
        me.site("chamber")

    def secure_coronal(self) -> None:
        me = self.me
        for turn, canal in enumerate(CANALS):
            self.clock.at(5 + turn)
            me.sees_next(canal.upper(), "EG 15 % on a file")
            me.do_next()
            self.file(canal)
            me.sees_next(canal.upper(), "N 3 % 1 mL")
            me.syringe("N")
            self.clock.at(5 + turn, 20)
            me.site(canal)

    def shape_coronal(self) -> None:
        me = self.me
        for turn, canal in enumerate(P_FIRST):
            self.clock.at(9 + 2 * turn, 55)
            me.sees_next(canal.upper(), "N 3 % 1 mL")
            me.syringe("N")
            self.clock.at(10 + 2 * turn)
            me.site(canal)
            self.clock.at(10 + 2 * turn, 20)
            self.file(canal)
            me.sees_next(canal.upper(), "N 3 % 1 mL")
            me.syringe("N")
            self.clock.at(10 + 2 * turn, 40)
            me.site(canal)
            self.clock.at(11 + 2 * turn)
            me.sees_next(canal.upper(), "recapitulate 10")
            me.do_next()
            self.clock.at(11 + 2 * turn, 20)
            me.sees_next(canal.upper(), "N 3 % 1 mL")
            me.again(f"N 1 mL in {canal.upper()}")

    def secure_apical(self) -> None:
        me = self.me
        for turn, canal in enumerate(DB_FIRST):
            self.clock.at(20 + 2 * turn)
            me.sees_next(canal.upper(), "EG 15 % on a file")
            me.do_next()
            self.file(canal)
            me.sees_next(canal.upper(), "N 3 % 1 mL")
            me.syringe("N")
            self.clock.at(20 + 2 * turn, 30)
            me.site(canal)
            self.clock.at(20 + 2 * turn, 50)
            me.sees_next(canal.upper(), "recapitulate 10")
            me.do_next()
            self.clock.at(21 + 2 * turn, 10)
            me.sees_next(canal.upper(), "N 3 % 1 mL")
            me.again(f"N 1 mL in {canal.upper()}")

    def set_lengths(self) -> None:
        me = self.me
        me.hand_is_empty()
        for turn, canal in enumerate(CANALS):
            self.clock.at(30, 30 * turn)
            self.canal_sheet(canal, {"Working length": _LENGTH_TAPS[canal]})
        checks = [("p", "glide path"), ("p", "radiograph")]
        checks += [(canal, "glide path") for canal in P_FIRST[1:]]
        checks += [(canal, "radiograph") for canal in P_FIRST[1:]]
        for turn, (canal, check) in enumerate(checks):
            self.clock.at(32, 30 + 10 * turn)
            me.sees_next(canal.upper(), check)
            me.outcome("taken" if check == "radiograph" else "reached length")

    def shape_apical(self) -> None:
        me = self.me
        for turn, canal in enumerate(P_FIRST):
            self.clock.at(34 + 2 * turn, 55)
            me.sees_next(canal.upper(), "N 3 % 1 mL")
            me.syringe("N")
            self.clock.at(35 + 2 * turn)
            me.site(canal)
            self.clock.at(35 + 2 * turn, 20)
            self.file(canal)
            self.clock.at(35 + 2 * turn, 40)
            me.sees_next(canal.upper(), "N 3 % 1 mL")
            me.cycle(f"10 {canal.upper()}")

    def gauge(self) -> None:
        me = self.me
        me.hand_is_empty()
        me.tool("syringes")
        more = ("More", "More", "More")
        for turn, canal in enumerate(DB_FIRST):
            self.clock.at(45 + turn)
            me.sees_next(canal.upper(), "gauging")
            me.outcome("binds at length")
            self.canal_sheet(canal, {"Apical size": more, "Taper": more})

    def chelate(self) -> None:
        me = self.me
        self.clock.at(49, 50)
        me.sees_next("MB1", "E 17 % 1 mL")
        me.syringe("E")
        for turn, canal in enumerate(CANALS):
            self.clock.at(50, 10 * turn)
            me.site(canal)
        self.clock.at(51, 10)
        me.sees_next("MB1", "W 2 mL")
        me.syringe("W")
        for turn, canal in enumerate(CANALS):
            self.clock.at(51, 20 + 10 * turn)
            me.site(canal)

    def activate(self) -> None:
        me = self.me
        for cycle in range(3):
            self.clock.at(52 + 3 * cycle, 50)
            me.sees_next("MB1", "N 3 % 1 mL")
            if cycle == 0:
                me.syringe("N")
            for turn, canal in enumerate(CANALS):
                self.clock.at(53 + 3 * cycle, 10 * turn)
                me.site(canal)
            for turn, canal in enumerate(CANALS):
                self.clock.at(54 + 3 * cycle, 25 * turn)
                me.sees_next(canal.upper(), "ultrasonic 20 s")
                me.do_next()
                expect(me.next).to_contain_text(f"Stop ultrasonic in {canal.upper()}")
                self.clock.at(54 + 3 * cycle, 25 * turn + 20)
                me.do_next()

    def dry(self) -> None:
        me = self.me
        self.clock.at(62, 20)
        me.sees_next("MB1", "W 2 mL")
        me.syringe("W")
        for turn, canal in enumerate(CANALS):
            self.clock.at(62, 30 + 10 * turn)
            me.site(canal)
        for turn, canal in enumerate(CANALS):
            self.clock.at(63, 30 + 10 * turn)
            me.sees_next(canal.upper(), "cone fit")
            me.outcome("fits at length")
        for turn, canal in enumerate(CANALS):
            self.clock.at(64, 30 + 10 * turn)
            me.sees_next(canal.upper(), "dry with points")
            me.outcome("yes")

    def fill(self) -> None:
        me = self.me
        for turn, canal in enumerate(CANALS):
            self.clock.at(66 + turn)
            me.sees_next(canal.upper(), "fill: root_filling")
            me.do_next()

    def file(self, canal: str) -> None:
        """The announced instrument: its tool, then the canal it worked in."""
        self.clock.run(A_SECOND_MS)
        self.me.sees_next(canal.upper(), "file")
        self.me.do_next()
        self.me.site(canal)

    def canal_sheet(self, canal: str, steps: dict[str, tuple[str, ...]]) -> None:
        """Put figures of a canal right on its sheet."""
        me = self.me
        me.site(canal)
        sheet = me.page.get_by_role("dialog")
        me.see(sheet)
        for figure, taps in steps.items():
            for way in taps:
                me.press(f"{way}: {figure}", sheet)
        me.press("Save", sheet)
        expect(sheet).to_have_count(0)
