"""What every ledger promises, whatever it is made of."""

import asyncio
from collections.abc import Sequence

import pytest
from msgspec import Raw

from canalclock.ledger.chain import FIRST_PREV, entry_digest, line_digest
from canalclock.ledger.port import (
    Head,
    HeadMoved,
    IdReused,
    Ledger,
    LedgerClosed,
    News,
    Recorded,
    Signed,
    SignVisit,
    StoredKit,
)
from tests.contract.lines import DEVICE, OTHER_DEVICE, a_visit, an_id, taken

NOW = 1_790_000_000_000


def a_signature(head: Head, staff: str = "dentist-1", totals: bytes = b'{"a":1}') -> SignVisit:
    return SignVisit(
        visit=a_visit(),
        seq=head.seq,
        digest=head.digest,
        staff=staff,
        fold_version=1,
        totals=Raw(totals),
    )


async def test_lines_are_kept_in_order_and_as_they_came(ledger: Ledger) -> None:
    lines = [taken(3), taken(1), taken(2)]
    appended = await ledger.append(a_visit(), lines, NOW)
    entries = await ledger.entries(a_visit())
    assert [e.line for e in entries] == [t.line for t in lines]
    assert [e.seq for e in entries] == [1, 2, 3]
    assert appended.answers == tuple(Recorded(id=t.id, seq=n) for n, t in enumerate(lines, start=1))
    assert appended.head == Head(seq=3, digest=entries[-1].digest)
    assert await ledger.head(a_visit()) == appended.head


async def test_each_entry_is_chained_to_the_one_before(ledger: Ledger) -> None:
    await ledger.append(a_visit(), [taken(1), taken(2)], NOW)
    await ledger.append(a_visit(), [taken(3)], NOW + 5)
    prev = FIRST_PREV
    for seq, entry in enumerate(await ledger.entries(a_visit()), start=1):
        assert entry.prev == prev
        assert entry.line_digest == line_digest(entry.line)
        at = NOW if seq < 3 else NOW + 5
        prev = entry_digest(prev, a_visit(), seq, at, entry.line_digest)
        assert entry.digest == prev
    assert await ledger.verify() == ()


async def test_the_same_line_again_keeps_its_number(ledger: Ledger) -> None:
    first = await ledger.append(a_visit(), [taken(1), taken(2)], NOW)
    again = await ledger.append(a_visit(), [taken(2), taken(1), taken(3)], NOW + 1)
    assert again.answers == (
        Recorded(id=an_id(2), seq=2, already=True),
        Recorded(id=an_id(1), seq=1, already=True),
        Recorded(id=an_id(3), seq=3),
    )
    assert [e.recorded_at_ms for e in await ledger.entries(a_visit())] == [NOW, NOW, NOW + 1]
    assert first.head.seq == 2


async def test_an_id_with_other_bytes_is_refused_and_its_neighbours_land(ledger: Ledger) -> None:
    await ledger.append(a_visit(), [taken(1)], NOW)
    appended = await ledger.append(a_visit(), [taken(2), taken(1, text="other"), taken(3)], NOW)
    assert appended.answers == (
        Recorded(id=an_id(2), seq=2),
        IdReused(id=an_id(1), visit=a_visit(), seq=1),
        Recorded(id=an_id(3), seq=3),
    )
    assert [e.seq for e in await ledger.entries(a_visit())] == [1, 2, 3]


async def test_an_id_twice_in_one_batch_is_recorded_once(ledger: Ledger) -> None:
    appended = await ledger.append(a_visit(), [taken(1), taken(1), taken(1, text="x")], NOW)
    assert appended.answers == (
        Recorded(id=an_id(1), seq=1),
        Recorded(id=an_id(1), seq=1, already=True),
        IdReused(id=an_id(1), visit=a_visit(), seq=1),
    )


async def test_an_id_of_another_visit_is_refused_and_opens_none(ledger: Ledger) -> None:
    await ledger.append(a_visit(1), [taken(1)], NOW)
    appended = await ledger.append(a_visit(2), [taken(1, visit=a_visit(2))], NOW)
    assert appended.answers == (IdReused(id=an_id(1), visit=a_visit(1), seq=1),)
    assert appended.head == Head()
    assert [v.visit for v in await ledger.visits()] == [a_visit(1)]


async def test_visits_have_chains_of_their_own(ledger: Ledger) -> None:
    await ledger.append(a_visit(2), [taken(1, visit=a_visit(2))], NOW)
    await ledger.append(a_visit(1), [taken(2), taken(3)], NOW)
    heads = await ledger.visits()
    assert [(v.visit, v.head.seq) for v in heads] == [(a_visit(2), 1), (a_visit(1), 2)]
    assert await ledger.head(a_visit(9)) == Head()


async def test_a_visit_tells_when_its_newest_entry_was_recorded(ledger: Ledger) -> None:
    await ledger.append(a_visit(), [taken(1)], NOW)
    await ledger.append(a_visit(), [taken(2)], NOW + 5)
    await ledger.append(a_visit(), [taken(2)], NOW + 9)
    assert [v.recorded_at_ms for v in await ledger.visits()] == [NOW + 5]


async def test_many_writers_at_once_leave_one_unbroken_chain_and_feed(ledger: Ledger) -> None:
    told: list[News] = []
    ledger.listen(told.extend)

    async def write(writer: int) -> None:
        for n in range(8):
            visit = a_visit(1 + (writer + n) % 3)
            number = writer * 100 + n + 1
            await ledger.append(visit, [taken(number, visit=visit)], NOW)

    await asyncio.gather(*(write(w) for w in range(12)))
    assert await ledger.verify() == ()
    news = await ledger.news_after(0, 1000)
    assert [n.feed for n in news] == list(range(1, 97))
    assert tuple(told) == news
    for visit in map(a_visit, (1, 2, 3)):
        seqs = [n.seq for n in news if n.visit == visit]
        assert seqs == list(range(1, len(seqs) + 1))


async def test_news_after_a_cursor_come_in_order_and_in_parts(ledger: Ledger) -> None:
    await ledger.append(a_visit(), [taken(n) for n in range(1, 8)], NOW)
    assert [n.feed for n in await ledger.news_after(3, 2)] == [4, 5]
    assert await ledger.news_after(7, 10) == ()
    assert await ledger.feed() == 7


async def test_what_was_refused_or_known_makes_no_news(ledger: Ledger) -> None:
    told: list[Sequence[News]] = []
    await ledger.append(a_visit(), [taken(1)], NOW)
    ledger.listen(told.append)
    await ledger.append(a_visit(), [taken(1), taken(1, text="x")], NOW)
    assert told == []
    assert await ledger.feed() == 1


async def test_entries_may_be_asked_by_number_and_kind(ledger: Ledger) -> None:
    await ledger.append(a_visit(), [taken(1), taken(2, "visit_closed"), taken(3)], NOW)
    assert [e.seq for e in await ledger.entries(a_visit(), after=1)] == [2, 3]
    kinds = frozenset({"visit_closed"})
    assert [e.seq for e in await ledger.entries(a_visit(), kinds=kinds)] == [2]
    assert await ledger.entries(a_visit(), kinds=frozenset()) == ()


async def test_a_signature_takes_the_head_that_was_shown(ledger: Ledger) -> None:
    appended = await ledger.append(a_visit(), [taken(1)], NOW)
    outcome = await ledger.sign(a_signature(appended.head), NOW + 9)
    assert isinstance(outcome, Signed)
    assert not outcome.signature.addendum
    assert bytes(outcome.signature.totals) == b'{"a":1}'
    assert await ledger.signatures(a_visit()) == (outcome.signature,)
    assert await ledger.signed_seqs() == {a_visit(): 1}
    assert (await ledger.news_after(1, 9)) == (News(feed=2, visit=a_visit(), seq=1, signed=True),)


async def test_a_signature_is_refused_once_the_head_has_moved(ledger: Ledger) -> None:
    shown = (await ledger.append(a_visit(), [taken(1)], NOW)).head
    now = (await ledger.append(a_visit(), [taken(2)], NOW)).head
    assert await ledger.sign(a_signature(shown), NOW) == HeadMoved(head=now)
    assert await ledger.signatures(a_visit()) == ()
    assert await ledger.feed() == 2


async def test_the_same_signature_again_is_the_same_signature(ledger: Ledger) -> None:
    head = (await ledger.append(a_visit(), [taken(1)], NOW)).head
    first = await ledger.sign(a_signature(head), NOW)
    again = await ledger.sign(a_signature(head), NOW + 1000)
    assert isinstance(first, Signed)
    assert again == Signed(signature=first.signature, already=True)
    assert len(await ledger.signatures(a_visit())) == 1


async def test_a_later_signature_is_an_addendum(ledger: Ledger) -> None:
    head = (await ledger.append(a_visit(), [taken(1)], NOW)).head
    await ledger.sign(a_signature(head), NOW)
    later = (await ledger.append(a_visit(), [taken(2)], NOW)).head
    outcome = await ledger.sign(a_signature(later, totals=b"{}"), NOW)
    assert isinstance(outcome, Signed)
    assert outcome.signature.addendum
    assert [s.seq for s in await ledger.signatures(a_visit())] == [1, 2]


async def test_gaps_in_a_devices_numbers_are_told(ledger: Ledger) -> None:
    other = taken(30, device=OTHER_DEVICE)
    await ledger.append(a_visit(1), [taken(1), taken(2), taken(5), taken(9), other], NOW)
    await ledger.append(a_visit(2), [taken(7, visit=a_visit(2))], NOW)
    mine, others = await ledger.devices(a_visit(1))
    assert (mine.device, mine.last_seq, mine.gaps) == (DEVICE, 9, ((3, 4), (6, 6), (8, 8)))
    assert (others.device, others.gaps) == (OTHER_DEVICE, ())


async def test_a_kit_is_stored_once_and_read_back_as_it_was(ledger: Ledger) -> None:
    kit = StoredKit(kit="a" * 64, protocol=None, version=None, title="Without a protocol")
    await ledger.store_kit(kit, b"{}", NOW)
    await ledger.store_kit(kit, b"{ }", NOW)
    assert await ledger.kit_document("a" * 64) == b"{}"
    assert await ledger.kits() == (kit,)
    assert await ledger.kit_document("b" * 64) is None


async def test_a_closed_ledger_takes_nothing(ledger: Ledger) -> None:
    await ledger.close()
    with pytest.raises(LedgerClosed):
        await ledger.append(a_visit(), [taken(1)], NOW)


async def test_the_epoch_is_the_one_it_began_with(ledger: Ledger) -> None:
    assert await ledger.epoch() == "epoch-1"
