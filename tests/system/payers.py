"""Run as a process of its own: somebody who records payments and issues invoices at given moments.

`python -m tests.system.payers prepare COUNT` makes hulls; `python -m tests.system.payers pay USER AT COUNT` waits for
the moment AT (seconds since 1970). For each number it records the payment that the other one records too, under the
same sender's number where it is even and under another one where it is odd; then it issues an invoice for a hull of its
own. It prints what became of each.
"""

from uuid import UUID, uuid4

from tests.system.script import in_turn, obey


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


def pay(username: str, at: float, count: int) -> list[dict[str, object]]:
    """Record every payment and issue every invoice, each at its moment."""
    from hulls.models import Hull
    from tests.stages import billing

    hulls = [(Hull.objects.get(tag=f"both-{n}"), Hull.objects.get(tag=f"{username}-{n}")) for n in range(count)]
    told: list[dict[str, object]] = []
    for number, (both, own) in enumerate(in_turn(hulls, at, 0.25)):
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


if __name__ == "__main__":
    obey(prepare, pay=pay)
