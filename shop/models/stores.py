"""The stores: who sells what in which packs, the cans and rolls on the shelf, and every movement in and out of them."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.people import CrewMember
from shop.models.products import Product

LEAST = Decimal("0.001")  # of any unit: a millilitre, a gram
A_CENT = Decimal("0.01")


def amount_field(name: Any, **options: Any) -> "models.DecimalField[Decimal | int | str, Decimal]":
    """Build a field for an amount in the product's own unit, to a thousandth of it."""
    return models.DecimalField(name, max_digits=10, decimal_places=3, **options)


def money_field(name: Any, **options: Any) -> "models.DecimalField[Decimal | int | str | None, Decimal | None]":
    """Build a field for a sum of money over zero, or none where nobody knows it."""
    positive = [MinValueValidator(A_CENT)]
    return models.DecimalField(
        name, max_digits=10, decimal_places=2, null=True, blank=True, validators=positive, **options
    )


class Supplier(models.Model):
    """Who sells to the shop."""

    name = models.CharField(_("name"), max_length=80, unique=True)
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    lead_days = models.PositiveSmallIntegerField(
        _("days from order to door"), default=7, validators=[MaxValueValidator(365)]
    )
    note = models.CharField(_("note"), max_length=400, blank=True)

    class Meta:
        verbose_name = _("supplier")
        verbose_name_plural = _("suppliers")
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Pack(models.Model):
    """A size in which a product is sold; the price is empty or over zero."""

    product = models.ForeignKey(Product, models.CASCADE, related_name="packs", verbose_name=_("product"))
    supplier = models.ForeignKey(
        Supplier, models.PROTECT, related_name="packs", verbose_name=_("supplier"), null=True, blank=True
    )
    called = models.CharField(_("called"), max_length=60, help_text=_("Like 1 US gal can, or roll of 60 in."))
    amount = amount_field(
        _("holds"), validators=[MinValueValidator(LEAST)], help_text=_("In what the product is counted in.")
    )
    price = money_field(_("price"))
    roll_width_in = models.FloatField(
        _("width of the roll, in"), null=True, blank=True, validators=[MinValueValidator(1.0), MaxValueValidator(200.0)]
    )
    active = models.BooleanField(_("still sold"), default=True)

    class Meta:
        verbose_name = _("pack")
        verbose_name_plural = _("packs")
        ordering = ["product", "supplier", "amount", "pk"]
        constraints = [
            models.CheckConstraint(condition=models.Q(amount__gt=0), name="pack_holds_something"),
            models.CheckConstraint(condition=models.Q(price=None) | models.Q(price__gt=0), name="pack_price_over_zero"),
        ]

    def __str__(self) -> str:
        return self.called


class OrderLine(models.Model):
    """Packs that were ordered: what came of them became lots, what will not come is closed with a reason."""

    client_id = models.UUIDField(_("sender's number"), unique=True)
    pack = models.ForeignKey(Pack, models.PROTECT, related_name="orders", verbose_name=_("pack"))
    packs = models.PositiveSmallIntegerField(_("packs"), validators=[MinValueValidator(1), MaxValueValidator(999)])
    received = models.PositiveSmallIntegerField(_("received"), default=0)
    unit_price = money_field(_("price of one pack"))
    ordered_on = models.DateField(_("ordered"))
    expected_on = models.DateField(_("expected"))
    ordered_by = models.ForeignKey(CrewMember, models.PROTECT, related_name="+", verbose_name=_("ordered by"))
    closed_at = models.DateTimeField(_("closed"), null=True, blank=True)
    closed_because = models.CharField(_("closed because"), max_length=200, blank=True)

    class Meta:
        verbose_name = _("order")
        verbose_name_plural = _("orders")
        ordering = ["expected_on", "pk"]
        constraints = [
            models.CheckConstraint(condition=models.Q(packs__gt=0), name="order_of_something"),
            models.CheckConstraint(
                condition=models.Q(received__lte=models.F("packs")), name="no_more_came_than_ordered"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.packs} x {self.pack_id}"

    @property
    def to_come(self) -> int:
        """Packs that are still to come."""
        return 0 if self.closed_at else self.packs - self.received


class Lot(models.Model):
    """One can, roll or box on the shelf. What it holds is the sum of its movements, kept here under a lock."""

    product = models.ForeignKey(Product, models.PROTECT, related_name="lots", verbose_name=_("product"))
    pack = models.ForeignKey(Pack, models.PROTECT, related_name="lots", verbose_name=_("pack"), null=True, blank=True)
    order = models.ForeignKey(
        OrderLine, models.PROTECT, related_name="lots", verbose_name=_("order"), null=True, blank=True
    )
    label = models.CharField(_("lot number on the label"), max_length=40, blank=True)
    received_on = models.DateField(_("received"))
    use_by = models.DateField(_("use by"), null=True, blank=True)
    cost = money_field(_("what it cost"))
    opened_at = models.DateTimeField(_("opened"), null=True, blank=True)
    shaken_at = models.DateTimeField(_("shaken or stirred"), null=True, blank=True)
    holds = amount_field(_("holds"), default=Decimal(0))

    class Meta:
        verbose_name = _("lot")
        verbose_name_plural = _("lots")
        ordering = ["product", "pk"]
        constraints = [models.CheckConstraint(condition=models.Q(holds__gte=0), name="lot_never_below_zero")]
        indexes = [models.Index(fields=["product"], condition=models.Q(holds__gt=0), name="lots_that_hold_something")]

    def __str__(self) -> str:
        return self.label or f"#{self.pk}"

    def good_until(self) -> date | None:
        """Give the last day on which it is in date: by its label, its shelf life, and how long an open can keeps."""
        ends, product = [self.use_by], self.product
        if self.use_by is None and product.shelf_life_days:
            ends.append(self.received_on + timedelta(days=product.shelf_life_days))
        if self.opened_at and product.opened_life_days:
            ends.append((self.opened_at + timedelta(days=product.opened_life_days)).date())
        return min((end for end in ends if end), default=None)


class Move(models.TextChoices):
    """Why an amount went in or out."""

    IN = "in", _("came in")
    DRAWN = "drawn", _("drawn by a coat")
    STRUCK = "struck", _("given back: the coat was struck")
    COUNTED = "counted", _("counted")
    USED = "used", _("taken without a coat")
    THROWN = "thrown", _("thrown away")
    OPENED = "opened", _("opened")
    SHAKEN = "shaken", _("shaken or stirred")


class Movement(models.Model):
    """One movement of a lot. Rows are only ever added."""

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="movements", verbose_name=_("lot"))
    kind = models.CharField(_("why"), max_length=8, choices=Move)
    amount = amount_field(_("amount, minus where it went out"))
    at = models.DateTimeField(_("when"))
    recorded_at = models.DateTimeField(_("recorded"))
    by = models.ForeignKey(CrewMember, models.PROTECT, related_name="+", verbose_name=_("by"))
    reason = models.CharField(_("because"), max_length=200, blank=True)
    entry = models.PositiveBigIntegerField(_("line of a hull's log"), null=True, blank=True)
    client_id = models.UUIDField(_("sender's number"), unique=True, null=True, blank=True)

    class Meta:
        verbose_name = _("movement")
        verbose_name_plural = _("movements")
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["lot", "entry", "kind"], name="one_drawing_a_lot_and_line"),
        ]
        indexes = [models.Index(fields=["entry"], name="movements_by_line")]

    def __str__(self) -> str:
        return f"{self.lot_id} {self.kind} {self.amount}"
