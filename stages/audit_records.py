"""Proof that a boat that was handed over has its finish record, and that the record is what was given."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from hulls.models import FinishRecord
from stages.difference import Difference
from stages.engine.log import LogEntry, in_force
from stages.finish.receipt import receipt_of
from stages.models import HullWork


def record_of(row: HullWork, log: Iterable[LogEntry]) -> Iterator[Difference]:
    """Differences of one hull's finish records: each is as it was frozen, and one stands while the boat is away.

    What its owner signed for stands in the log and in the record that was frozen from it, word for word.
    """
    records = list(FinishRecord.objects.filter(hull_id=row.pk).order_by("version"))
    for record in records:
        if not record.holds:
            yield Difference(row.hull.tag, f"finish record {record.version}", "as it was given", "changed since")
    wanted = 1 if row.handed_over_at else 0
    standing = sum(1 for record in records if record.withdrawn_at is None)
    if wanted != standing:
        yield Difference(row.hull.tag, "finish records that stand", wanted, standing)
    signed = _signed_for(receipt_of(in_force(log), {}))
    for record in records:
        if record.withdrawn_at is None and _signed_for(record.body.get("receipt")) != signed:
            # Neither is written out: a signature is for the record alone.
            where = f"what was signed for, finish record {record.version}"
            yield Difference(row.hull.tag, where, "as its line has it", "otherwise")


def _signed_for(receipt: Mapping[str, Any] | None) -> dict[str, Any] | None:
    """A receipt without who handed over and when: the record tells those by the name and the clock of that day."""
    return {key: value for key, value in receipt.items() if key not in ("by", "at")} if receipt else None
