"""Run as a process of its own: two record payments and issue invoices at once.

`python -m tests.system.payers COUNT` makes hulls. For each number both record the payment that the other one records
too, under the same sender's number where it is even and under another one where it is odd; then each issues an invoice
for a hull of its own.
"""

from uuid import UUID, uuid4

from tests.system.script import Together, play


def prepare(count: int) -> None:
    """Make a shop that charges, a hull for each payment, and one for each invoice of each payer."""
    from tests.factories import the_shop_owner
    from tests.stages.billing import an_agreed_hull
    from tests.stages.charging import a_shop_that_charges

    a_shop_that_charges()
    the_shop_owner()
    for number in range(count):
        for name in ("both", "ada", "ben"):
            an_agreed_hull(f"{name}-{number}")


def pay(username: str, count: int, together: Together) -> list[dict[str, object]]:
    """Record every payment and issue every invoice, each at its moment."""
    from hulls.models import Hull
    from tests.stages import billing

    hulls = [(Hull.objects.get(tag=f"both-{n}"), Hull.objects.get(tag=f"{username}-{n}")) for n in range(count)]
    told: list[dict[str, object]] = []
    for number, (both, own) in enumerate(together.in_turn(hulls)):
        client_id = uuid4() if number % 2 else UUID(int=number + 1, version=4)
        receipt = billing.pay(both, "100", reference="0042", client_id=client_id)
        invoice = billing.issued(own)
        told.append(
            {
                "recorded": receipt.payment is not None and not receipt.repeated,
                "repeated": receipt.repeated,
                "asked": receipt.alike is not None,
                "invoice": invoice.number,
            }
        )
    return told


def left() -> int:
    """How many payments are on record."""
    from hulls.models import Payment

    return Payment.objects.count()


if __name__ == "__main__":
    play(prepare=prepare, act=pay, left=left)
