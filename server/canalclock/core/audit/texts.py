"""The words of every rule, of the fold and of the audit: the one place that has them.

Plain English, no advice, no verdict on a person. Figures come in the trade's units, exactly.
"""

from collections.abc import Mapping
from typing import Final

from canalclock.core.audit.meta import Found
from canalclock.core.figures import ml, mm, pct_wv, span
from canalclock.core.kit import Kit
from canalclock.core.record.values import Finding

TEXTS: Final[dict[str, str]] = {
    # of the fold
    "canal_not_declared": "{sites}: an act names this canal before it was declared.",
    "correction_conflict": "Two corrections of one entry do not know of each other; the later "
    "one counts. Please say which is right.",
    "correction_unreadable": "A correction cannot be read as an entry of its kind; the entry "
    "stands as it was.",
    "unresolved": "A correction or a withdrawal names an entry that is not on record.",
    "unread": "An entry of the kind “{about}” is kept as it came and has no effect: this "
    "version does not know it. The record may be incomplete.",
    "after_close": "{sites}: recorded as done after the visit was closed. Its amount counts, its "
    "contact does not.",
    "order_uncertain": "{sites}: which of two acts came first is not certain; the clocks of two "
    "devices allow both. For warnings the worse order was taken.",
    "activation_never_stopped": "{sites}: an activation was started and never stopped; it counts "
    "as no time.",
    "activation_stop_alone": "{sites}: an activation was stopped that nobody had started.",
    "activation_on_nothing": "{sites}: {ms} of activation with nothing on record in the canal.",
    "open_end": "{sites}: no end of the last contact is on record; it was counted up to the last "
    "act of the visit.",
    "reading_conflict": "What a syringe lost between two readings is not what was recorded from "
    "it; the amounts stay as recorded.",
    "join_without_length": "{sites}: where the canals meet cannot be placed while a working "
    "length is unknown; each is counted alone.",
    "join_in_a_ring": "{sites}: these canals are said to run into each other in a ring; that was "
    "not followed.",
    # warned.py
    "hold_released": "A hold ({about}) was released, {says}",
    "hold_not_released": "{sites}: a delivery was made although a hold ({about}) stood and "
    "nobody had released it. {says}",
    "caution_not_said": "{sites}: before this act the guard should have given a caution "
    "({about}); no device has recorded that it did.",
    # asked.py
    "contact_below_asked": "{sites}: {about} in contact for {had}; the protocol asks for {asked}.",
    "last_3mm_below_asked": "{sites}: {about} in the last 3 mm for {had} at the least; the "
    "protocol asks for {asked}.",
    "last_3mm_unknown": "{sites}: contact of {about} in the last 3 mm cannot be told, since the "
    "working length is unknown; the protocol asks for {asked}.",
    "fresh_below_asked": "{sites}: fresh {about} for {had}; the protocol asks for {asked}.",
    "activated_below_asked": "{sites}: {about} activated for {had}; the protocol asks for {asked}.",
    "volume_below_asked": "{sites}: {had} of {about} delivered; the protocol asks for {asked}.",
    "volume_unknown": "{sites}: at least {had} of {about} delivered, some amounts unknown; the "
    "protocol asks for {asked}.",
    "limit_passed": "{sites}: {about} stood for {had} without a break; the clinic's limit is "
    "{asked}.",
    "strength_other_than_protocol": "{sites}: {about} was used at {had}; the protocol writes "
    "{asked}.",
    "strength_unknown": "{sites}: {about} was used at a strength that is not on record; the "
    "protocol writes {asked}.",
    "irrigant_not_in_protocol": "{sites}: {about} was used; the protocol does not have it.",
    # step_limits.py
    "step_limit_passed": "{sites}: {about} stood for {had} after the step “{says}”; the step's "
    "limit is {asked}.",
    # acts.py
    "tip_past_working_length": "{sites}: the tip was recorded at {had}, past the working length "
    "of {asked} known then.",
    "step_skipped_without_reason": "{sites}: the step “{about}” was left out, and no reason is "
    "on record.",
    "incident_open": "An incident was declared ({about}). It stays open until it is followed up.",
    "protocol_changed": "Another protocol was chosen during the visit: {says} Figures and "
    "targets here are those of the protocol the visit was opened with.",
    "amounts_mostly_not_measured": "Only {had} of the volume was measured; the rest is planned, "
    "estimated or recalled.",
    # opening.py
    "question_not_answered": "The protocol wants the question “{about}” answered; no answer is "
    "on record.",
    "answered_unknown": "The question “{about}” was answered with “unknown”, which is not “no”.",
    "isolation_not_recorded": "The protocol checks isolation; no such check is on record.",
    "canal_unusual_for_tooth": "{sites}: not a usual canal name for tooth {about}. Recorded all "
    "the same.",
    "training": "A training visit.",
    # unread.py
    "field_unread": "Entries say something under “{about}”, a name that this version does not know "
    "and does not read. Entries concerned: {had}. The record may be incomplete.",
    # clocks.py
    "device_clock_off": "Device {about}: {says} Entries concerned: {had}.",
    "device_gap": "Device {about}: {had} of its entries have not arrived. The record may be "
    "incomplete.",
}
"""Text of every rule."""


def finding_text(kit: Kit, finding: Finding) -> str:
    """
    A finding in plain English.

    Args:
        kit: For the irrigants' titles.
        finding: Of the fold or of the audit.

    Returns:
        One or two sentences; the bare rule for one that a later version may have found.
    """
    pattern = TEXTS.get(finding.rule)
    if pattern is None:
        return finding.rule
    titles = {i.irrigant: i.title for i in kit.catalogue.irrigants}
    words: Mapping[str, str] = {
        "sites": ", ".join(map(site_word, finding.sites)) or "Whole tooth",
        "about": " and ".join(
            _inside(titles[part]) if part in titles else part for part in finding.about.split("+")
        ),
        "ms": span(finding.ms or 0),
        "asked": _amount(finding, "asked"),
        "had": _amount(finding, "had"),
        "says": finding.says if isinstance(finding, Found) else "",
    }
    text = pattern.format_map(words)
    return text[:1].upper() + text[1:]


def site_word(site: str) -> str:
    """A site as it is shown: canals in upper case."""
    return site if site == "chamber" else site.upper()


def _inside(title: str) -> str:
    """A title within a sentence: "sodium hypochlorite", but "EDTA"."""
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]


def _amount(finding: Finding, which: str) -> str:
    if not isinstance(finding, Found) or finding.measure is None:
        return ""
    value = finding.asked if which == "asked" else finding.had
    if value is None:
        return "an unknown amount"
    match finding.measure:
        case "ms":
            return span(value)
        case "ul":
            return f"{ml(value)} mL"
        case "mg_per_l":
            return f"{pct_wv(value)} % w/v"
        case "um":
            return f"{mm(value)} mm"
        case "pct":
            return f"{value} %"
        case "entries":
            return str(value)
