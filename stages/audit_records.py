"""Proof that a boat that was handed over has its finish record, and that the record is what was given."""

from collections.abc import Iterator

from hulls.models import FinishRecord
from stages.difference import Difference
from stages.models import HullWork


def record_of(row: HullWork) -> Iterator[Difference]:
    """Differences of one hull's finish records: each is as it was frozen, and one stands while the boat is away."""
    records = list(FinishRecord.objects.filter(hull_id=row.pk).order_by("version"))
    for record in records:
        if not record.holds:
            yield Difference(row.hull.tag, f"finish record {record.version}", "as it was given", "changed since")
    wanted = 1 if row.handed_over_at else 0
    standing = sum(1 for record in records if record.withdrawn_at is None)
    if wanted != standing:
        yield Difference(row.hull.tag, "finish records that stand", wanted, standing)
